"""Areas, masses and metres of a section's parts, and what a colour that runs short costs.

Identities of volume and mass, on `craft.assemble`: L = M/Σ aᵢρᵢ, mᵢ = aᵢρᵢL, rod = L (D/d)².
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from shop.craft.assemble import masses_of
from shop.craft.errors import check_range
from shop.picture.errors import PartWrong
from shop.picture.shapes import PicturePart, Section, Treatment

WayName = Literal["shorten", "thin", "top up"]


def log_length(parts: Sequence[PicturePart], section: Section) -> float:
    """Length of the planned log [m]."""
    pairs = [(part.area_m2, section.densities[part.treatment]) for part in parts]
    return masses_of(pairs, section.log_kg).length_m


def rod_metres(parts: Sequence[PicturePart], section: Section) -> float:
    """Metres of rod the planned log draws to, ends and all [m]."""
    return log_length(parts, section) * section.diameter_ratio**2


def whole_grams(parts: Sequence[PicturePart]) -> dict[str, int]:
    """Each part in whole grams, which add up to the log's: the largest remainders round up.

    Largest-remainder rounding (Hamilton 1792): no part is a gram or more off.
    """
    exact = {part.id: part.mass_kg * 1000 for part in parts}
    grams = {name: int(mass) for name, mass in exact.items()}
    missing = round(sum(exact.values())) - sum(grams.values())
    by_rest = sorted(exact, key=lambda name: (grams[name] - exact[name], name))
    return {name: mass + (name in by_rest[:missing]) for name, mass in grams.items()}


def mass_of(parts: Sequence[PicturePart], portion: str) -> float:
    """Mass of everything cut from one sugar [kg]."""
    return sum(part.mass_kg for part in parts if part.portion == portion)


def repair_stock(parts: Sequence[PicturePart], share: float) -> dict[str, float]:
    """What to keep of each colour of the picture until the casing is on [kg], `share` [0–0.2].

    White needs none, the casing and clear sugar with it neither: they can't be mended with.
    """
    check_range("repair stock", share, "1", 0, 0.2, "stock for repairs")
    colours = sorted({part.portion for part in parts if part.treatment != "white"} - _round(parts))
    return {colour: share * mass_of(parts, colour) for colour in colours}


def _round(parts: Sequence[PicturePart]) -> set[str]:
    return {part.portion for part in parts if part.kind == "jacket"}


@dataclass(frozen=True, slots=True)
class Way:
    """One way out when a colour is short: the log and the rod it leaves, and what it does.

    log_m, rod_m, lost_m [m]: log, rod, and rod lost against the plan. extra_kg: white it takes
    [kg]. narrowest_m: the thinnest of that colour's parts then [m]. allowed: whether hands can.
    """

    name: WayName
    log_m: float
    rod_m: float
    lost_m: float
    extra_kg: float
    narrowest_m: float
    allowed: bool


def ways_when_short(
    parts: Sequence[PicturePart], section: Section, portion: str, have_kg: float, strip_m: float
) -> tuple[Way, ...]:
    """Shorten the log, thin that colour's parts, or top it up from white and dye.

    `have_kg` of the colour's planned mass is there; nothing else is short. `strip_m`: the thinnest
    that can be laid [m]. Raises PartWrong for a colour that is not in the picture or is white,
    OutOfRange where more is there than planned.
    """
    planned = mass_of(parts, portion)
    white = next((part.portion for part in parts if part.treatment == "white"), "")
    if not planned or portion == white:
        raise PartWrong(portion, "is no colour of this picture", "choose one that can run short")
    check_range(portion, have_kg, "kg", 1e-3, planned, "a colour that is short")
    short = _Short(parts, section, portion, white, have_kg / planned, strip_m)
    return short.shorten(), short.thin(), short.top_up()


@dataclass(frozen=True, slots=True)
class _Short:
    """A colour of which there is only a `left` share [0–1]."""

    parts: Sequence[PicturePart]
    section: Section
    portion: str
    white: str
    left: float
    strip_m: float

    def shorten(self) -> Way:
        """Every part keeps its area; the log is as long as the colour allows."""
        return self._way("shorten", log_length(self.parts, self.section) * self.left, 0.0, 1.0)

    def thin(self) -> Way:
        """Colour and white share their area anew: (a_w + a_c) L' = m_w/ρ_w + m_c'/ρ_c.

        The section and all else stay; parts are thinned in one direction.
        """
        length = log_length(self.parts, self.section)
        colour, white = self._area(self.portion), self._area(self.white)
        now = length * (white + colour * self.left) / (white + colour)
        thinner = self.left * length / now
        extra = colour * (1 - thinner) * now * self._density("white")
        return self._way("thin", now, extra, thinner)

    def top_up(self) -> Way:
        """White is dyed until both last equally long: (a_cρ_c + a_wρ_w) L' = m_c' + m_w.

        White stays milky: for pulled or deep colours, not for a clear window.
        """
        length = log_length(self.parts, self.section)
        colour, white = (mass_of(self.parts, p) for p in (self.portion, self.white))
        now = length * (colour * self.left + white) / (colour + white)
        return self._way("top up", now, colour * (now / length - self.left), 1.0)

    def _way(self, name: WayName, log_m: float, extra_kg: float, thinner: float) -> Way:
        own = [part.narrowest_m for part in self.parts if part.portion == self.portion]
        narrowest = min(own) * thinner
        rod, plan = log_m * self.section.diameter_ratio**2, rod_metres(self.parts, self.section)
        fits = name != "thin" or narrowest >= self.strip_m
        return Way(name, log_m, rod, plan - rod, extra_kg, narrowest, fits)

    def _area(self, portion: str) -> float:
        return sum(part.area_m2 for part in self.parts if part.portion == portion)

    def _density(self, treatment: Treatment) -> float:
        return self.section.densities[treatment]
