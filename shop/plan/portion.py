"""What the reckoning graph is made for: sorts of sugar, the sheets rolled round them, the order."""

from dataclasses import dataclass

PPM = 1_000_000


@dataclass(frozen=True, slots=True)
class Portion:
    """One sort of sugar in the log: its area in the section, its density, its repair stock.

    `density` and its `doubt` [g/m3]; `white` is what the rest becomes.
    """

    id: str
    name: str
    area_um2: int
    density: int
    doubt: int
    stock: int
    white: bool
    dye_mg_per_kg: int = 0

    @property
    def mg_per_metre(self) -> int:
        """Area × density: 1 um² · 1 g/m³ = 1e-9 mg/m."""
        return round(self.area_um2 * self.density / 1e9)


@dataclass(frozen=True, slots=True)
class Round:
    """A sheet rolled round everything inside it: the casing, and the band under it.

    `share` [ppm] of its portion's area.
    """

    id: str
    name: str
    portion: str
    share: int


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the order asks of the batch, in fixed units; moments are ms since 1970."""

    packs: int
    fill_mg: int
    rod_um: int
    piece_um: int
    sugar_mg: int
    shift_end: int
    light_up: int
