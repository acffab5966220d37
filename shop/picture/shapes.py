"""What the functions of this room hand to one another.

Lengths in metres at log scale, x to the right and y up from the middle of the section, seen from
the reading end; from the other end x turns its sign. Nothing here is drawn to a rod's size.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from shop.craft.size import diameter_ratio

Treatment: TypeAlias = Literal["clear", "light", "white"]
Kind: TypeAlias = Literal[
    "strip", "bar", "wedge", "half-round", "round", "sheet", "jacket", "filler"
]
Point: TypeAlias = tuple[float, float]
Ring: TypeAlias = tuple[Point, ...]
Labels: TypeAlias = NDArray[np.int16]
OUTSIDE = -1


@dataclass(frozen=True, slots=True)
class PaletteColour:
    """One of the shop's sugars: `hex` is its sRGB colour as `#rrggbb`.

    `treatment`: `clear` (unpulled), `light` (a few pulls) or `white` (what the rest becomes).
    """

    id: str
    name: str
    hex: str
    treatment: Treatment


@dataclass(frozen=True, slots=True)
class Section:
    """The log as it is planned: mass [kg], diameters of log and rod [m], casing and band [m].

    `densities` [kg/m³] for each treatment. The picture fills the disc inside the band.
    """

    log_kg: float
    log_diameter_m: float
    rod_diameter_m: float
    jacket_m: float
    band_m: float
    densities: Mapping[Treatment, float]

    @property
    def picture_radius_m(self) -> float:
        """Radius of the disc inside the band [m]."""
        return self.log_diameter_m / 2 - self.jacket_m - self.band_m

    @property
    def diameter_ratio(self) -> float:
        """How many times thinner the rod is [1]."""
        return diameter_ratio(self.log_diameter_m, self.rod_diameter_m)


@dataclass(frozen=True, slots=True)
class Limits:
    """What hands can lay and eyes can read; the shop's own numbers.

    strip_m: the thinnest strip or gap at the log [m]; line_m, hole_m, letter_m: the finest line,
    hole and letter height in the rod [m].
    """

    strip_m: float
    line_m: float
    hole_m: float
    letter_m: float


@dataclass(frozen=True, slots=True, eq=False)
class Raster:
    """A picture in the shop's colours: `labels[row, column]` is an index into `palette`.

    Row 0 is the top; OUTSIDE (−1) stands outside the picture's disc. `metres_per_pixel` at log
    scale; the middle of the image is the middle of the section. `background` is the index of the
    colour the picture lies in: its regions become fillers.
    """

    labels: Labels
    metres_per_pixel: float
    palette: tuple[PaletteColour, ...]
    background: int

    def point(self, row: float, column: float) -> Point:
        """Where the middle of a pixel lies [m]."""
        rows, columns = self.labels.shape
        x = (column + 0.5 - columns / 2) * self.metres_per_pixel
        return x, (rows / 2 - row - 0.5) * self.metres_per_pixel


@dataclass(frozen=True, slots=True)
class Region:
    """One connected area of one colour (sides touch, corners do not).

    `label` is its index in the palette; `box` its rows and columns `(top, left, bottom, right)`,
    the last two exclusive; `neighbours` borders [m] by the id of the region beyond.
    """

    id: int
    label: int
    area_m2: float
    box: tuple[int, int, int, int]
    is_field: bool
    neighbours: Mapping[int, float]


@dataclass(frozen=True, slots=True)
class MadeFrom:
    """A copy: cut from what part `part` was built as, at `scale` times the size, then drawn.

    `flipped`: turned end for end, so that left and right change; `half_turn`: turned by 180° where
    it is laid (after the flip).
    """

    part: str
    scale: float
    flipped: bool
    half_turn: bool


@dataclass(frozen=True, slots=True)
class PicturePart:
    """One prism of the section.

    id, name: unlike any other part's. portion: id of its colour. polygon: its outline [m], closed
    without repeating the first point, counter-clockwise; `holes`: what it is wrapped round.
    area_m2 [m²]; narrowest_m: the widest round that fits in it [m], for a sheet its thickness;
    density [kg/m³]; mass_kg in the planned log [kg]. place: a point inside it. neighbours: ids of
    the parts it touches. cluster: parts of one name are one thing in the drawing; empty for
    fillers, band and casing. made_from: what it is cut from where it is a copy.
    """

    id: str
    name: str
    portion: str
    kind: Kind
    polygon: Ring
    area_m2: float
    narrowest_m: float
    density: float
    mass_kg: float
    treatment: Treatment
    place: Point
    neighbours: tuple[str, ...] = ()
    cluster: str = ""
    made_from: MadeFrom | None = None
    holes: tuple[Ring, ...] = ()


Repair: TypeAlias = Literal["thicken", "merge", "drop", "strips"]
TooSmall: TypeAlias = Literal["strip", "gap", "line", "hole"]


@dataclass(frozen=True, slots=True)
class Offer:
    """One way to mend a place: what is done, and the area it changes [m²]."""

    repair: Repair
    changed_m2: float


@dataclass(frozen=True, slots=True)
class Flaw:
    """A place that is too small.

    kind: which limit it breaks, `strip` and `gap` the hands' at the log, `line` and `hole` the
    eye's in the rod. colour: id in the palette. place [m]; width_m at the log and in_rod_m in the
    rod; limit_m what width it needs at the log; area_m2 of the thin place; offers, cheapest first.
    """

    kind: TooSmall
    colour: str
    place: Point
    width_m: float
    in_rod_m: float
    limit_m: float
    area_m2: float
    offers: tuple[Offer, ...]


@dataclass(frozen=True, slots=True)
class Motif:
    """One thing that stands several times in the picture: built once, drawn, cut in `copies`.

    parts: ids of the parts of the one that is built; scale k [1]; build_m: the length to build
    it at [m], n L/k²; drawn_m what it is drawn to [m]; flips: how many copies are turned end for
    end; minutes_saved of one pair of hands.
    """

    id: str
    parts: tuple[str, ...]
    copies: int
    flips: int
    scale: float
    build_m: float
    drawn_m: float
    minutes_saved: float


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """A picture ready to be judged: raster, section, and what was made of them.

    raster: as it is built; `before`: as it was drawn, with the `flaws`; changed_m2: the area that
    mending them changed [m²]. mirror_symmetric: whether it looks the same from the other end.
    """

    raster: Raster
    section: Section
    parts: tuple[PicturePart, ...]
    motifs: tuple[Motif, ...] = ()
    flaws: tuple[Flaw, ...] = ()
    mirror_symmetric: bool = False
    log_length_m: float = 0.0
    before: Raster | None = None
    changed_m2: float = 0.0
