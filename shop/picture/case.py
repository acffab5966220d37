"""What is asked at the counter: the picture as figures, the order, the day, and who builds."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from skimage.color import rgb2lab

from shop.craft.colour import Jurisdiction
from shop.picture.face import face_of
from shop.picture.legibility import legibility
from shop.picture.needs import Gives, Numbers, gives, need_kg
from shop.picture.shapes import Drawn, PaletteColour, PicturePart, Section

MM = 1000.0
# CIELAB chroma up to which clear sugar looks like glass (judgement).
GLASSY_CHROMA = 12.0


@dataclass(frozen=True, slots=True)
class Dye:
    """A colour in one sugar: its number or certified name, and pure dye [mg/kg]."""

    colour: str
    mg_per_kg: float


@dataclass(frozen=True, slots=True)
class Enquiry:
    """An order as the customer says it; what was not asked yet is None.

    fill_mg: label weight of a bag [mg]. text: as it shall be read; ring: whether round the edge.
    dyes: by portion. where: whose law it is sold under. allergens: what of flavour and colour must
    be declared. day: `2026-11-25`; busy: days that are taken; due: the last day to make it.
    light_up_min, shift_end_min: minutes of the day. accepts_variation: in writing, that pictures
    wander, one face is mirrored, and weights differ.
    """

    packs: int
    fill_mg: int
    text: str = ""
    ring: bool = False
    dyes: Mapping[str, Dye] = field(default_factory=dict)
    where: Jurisdiction | None = None
    allergens: tuple[str, ...] | None = None
    day: str = ""
    busy: frozenset[str] = frozenset()
    due: str = ""
    light_up_min: int | None = None
    shift_end_min: int | None = None
    accepts_variation: bool | None = None


@dataclass(frozen=True, slots=True)
class Facts:
    """A picture as far as the counter needs it.

    line_m, hole_m: the finest line and hole at the log [m], None where there is none; letter_m:
    letter height at the log [m]. portions: mass of each sugar [kg]; colours: those that are neither
    white nor clear. density: mean [kg/m³]. thickened: the share of the picture [1] that changes
    when all its thin places are mended; None where none are, or where the drawing would be lost.
    """

    section: Section
    parts: int
    colours: tuple[str, ...]
    portions: Mapping[str, float]
    density: float
    line_m: float | None
    hole_m: float | None = None
    letter_m: float | None = None
    mirror_symmetric: bool = False
    thickened: float | None = None

    def in_rod_mm(self, width_m: float) -> float:
        """What a width of the log becomes in the rod [mm]."""
        return width_m / self.section.diameter_ratio * MM


@dataclass(frozen=True, slots=True)
class BuildFacts:
    """A build as far as the counter needs it: minutes to the closed log, and what would help.

    ways: `schedule.build`'s `saves`.
    """

    minutes: float
    limit_minutes: float
    holds: bool
    says: str
    ways: tuple[Mapping[str, object], ...] = ()


@dataclass(frozen=True, slots=True)
class Case:
    """Everything a verdict is made of; an offer is the same case with one thing changed."""

    facts: Facts
    enquiry: Enquiry
    build: BuildFacts
    hands: int
    numbers: Numbers
    logs: int = 1

    @property
    def log_kg(self) -> float:
        """One log as planned [kg]."""
        return self.facts.section.log_kg

    @property
    def need_kg(self) -> float:
        """Sugar the order needs, from all its logs [kg]."""
        enquiry = self.enquiry
        return need_kg(enquiry.packs, enquiry.fill_mg, self.log_kg, self.numbers, self.logs)

    @property
    def gives(self) -> Gives:
        """What the planned logs give."""
        section, fill = self.facts.section, self.enquiry.fill_mg
        given = (self.log_kg, fill, self.facts.density, section.rod_diameter_m, self.numbers)
        return gives(*given, self.logs)

    def with_rod(self, rod_m: float) -> "Case":
        """The same drawn to another rod."""
        section = replace(self.facts.section, rod_diameter_m=rod_m)
        return replace(self, facts=replace(self.facts, section=section))


def facts_of(drawn: Drawn, numbers: Numbers, *, letter_m: float | None = None) -> Facts:
    """The figures of a picture as it was drawn: what was mended counts as it was before."""
    parts, flaws = drawn.parts, drawn.flaws
    portions = dict.fromkeys((part.portion for part in parts), 0.0)
    for part in parts:
        portions[part.portion] += part.mass_kg
    area = sum(part.area_m2 for part in parts)
    least = least_line_m(drawn.section, numbers)
    laid = [max(part.narrowest_m, least) for part in parts if part.cluster]
    return Facts(
        section=drawn.section,
        parts=sum(not _goes_round(part) and part.made_from is None for part in parts),
        colours=tuple(c.id for c in drawn.raster.palette if c.id in portions and _is_colour(c)),
        portions=portions,
        density=sum(part.area_m2 * part.density for part in parts) / area,
        line_m=min([flaw.width_m for flaw in flaws if flaw.kind != "hole"] or laid, default=None),
        hole_m=min((flaw.width_m for flaw in flaws if flaw.kind == "hole"), default=None),
        letter_m=letter_m,
        mirror_symmetric=drawn.mirror_symmetric,
        thickened=_thickened(drawn, numbers),
    )


def _thickened(drawn: Drawn, numbers: Numbers) -> float | None:
    """The share that mending changes [1]; None where it leaves something else than was drawn."""
    if not drawn.flaws or drawn.before is None:
        return None
    before, after = (face_of(drawn, "#000000", raster) for raster in (drawn.before, drawn.raster))
    if not legibility(before, after, numbers).reads:
        return None
    return drawn.changed_m2 / (math.pi * drawn.section.picture_radius_m**2)


def least_line_m(section: Section, numbers: Numbers) -> float:
    """The thinnest line at the log that hands can lay and eyes can read in the rod [m]."""
    by_eye = numbers["line_limit"] / 1e6 * section.diameter_ratio
    return max(numbers["strip_limit"] / 1e6, by_eye)


def least_hole_m(section: Section, numbers: Numbers) -> float:
    """The same for a hole [m]."""
    return max(least_line_m(section, numbers), numbers["hole_limit"] / 1e6 * section.diameter_ratio)


def _goes_round(part: PicturePart) -> bool:
    """Casing or band."""
    return part.kind == "jacket" or (part.kind == "sheet" and not part.cluster)


def _is_colour(sugar: PaletteColour) -> bool:
    """Whether a sugar counts as a colour: neither the white nor one that is clear as glass."""
    if sugar.treatment != "clear":
        return sugar.treatment == "light"
    channels = np.array([[[int(sugar.hex[n : n + 2], 16) / 255 for n in (1, 3, 5)]]])
    _, a, b = rgb2lab(channels)[0, 0]
    return math.hypot(a, b) > GLASSY_CHROMA
