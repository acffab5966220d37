"""A picture before and after in people's words: what is too small, its parts, what is made once."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString

from shop.picture.answer import drawing_as_plain
from shop.picture.shapes import Drawn
from shop.picture.svg import section_body
from shop.plan.drawing_work import Looked, Planned
from shop.plan.from_drawing import casing_sugar
from shop.screens.office.drawing import our_svg
from shop.screens.office.picture_sums import Sums, colours_of, sums_of

Plain = dict[str, Any]
MM, UM = 1000.0, 1e6
MOST_FLAWS = 12
# Where a mark's number stands beside it [mm], so that two marks of one place are both read.
BADGES = (("5.4", "-5.4"), ("-5.4", "-5.4"), ("-5.4", "5.4"), ("5.4", "5.4"))
REPAIRS = {
    "thicken": "Thicken it",
    "merge": "Close it",
    "drop": "Leave it out",
    "strips": "Lay it in straight strips",
}
SMALL = {
    "strip": "too thin to lay",
    "gap": "gap too narrow to fill",
    "line": "too fine to see in the rod",
    "hole": "hole too small to see in the rod",
}
TREATMENTS = {"clear": "not pulled", "light": "a few pulls", "white": "pulled white"}


@dataclass(frozen=True, slots=True)
class FlawLine:
    """A place that is too small: where it is marked [mm], what it is, what mends it."""

    n: int
    x: str
    y: str
    badge: tuple[str, str]
    says: str
    place: str
    offers: Sequence[tuple[str, str, str]]


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part in the units of the bench."""

    id: str
    name: str
    hex: str
    kind: str
    treatment: str
    area: str
    grams: int
    log: str
    rod: str
    beside: int
    neighbours: str
    made: str


@dataclass(frozen=True, slots=True)
class WorkedPage:
    """The picture before and after, what is too small, its parts and sums."""

    half: str
    box: str
    casing: str
    white: str
    band_r: str
    picture_r: str
    picture_d: str
    flaws: list[FlawLine]
    more_flaws: int
    changed: str
    after: SafeString
    mirror: SafeString
    both_ways: bool
    parts: list[PartLine]
    motifs: list[str]
    sums: Sums
    lost: tuple[str, ...]


def worked_page(found: Looked, how: Planned) -> WorkedPage:
    """The page of a drawing that was looked at."""
    drawn, section = found.drawn, found.drawn.section
    plain = drawing_as_plain(drawn, how.numbers["repair_stock"] / 1e6)
    half = section.log_diameter_m * MM / 2
    radius = section.picture_radius_m * MM
    return WorkedPage(
        half=f"{half:g}",
        box=f"{-half - 2:g} {-half - 2:g} {2 * half + 4:g} {2 * half + 4:g}",
        casing=casing_sugar().swatch,
        white=next(c.hex for c in drawn.raster.palette if c.treatment == "white"),
        band_r=f"{radius + section.band_m * MM:g}",
        picture_r=f"{-radius:g}",
        picture_d=f"{2 * radius:g}",
        flaws=flaw_lines(drawn),
        more_flaws=max(0, len(drawn.flaws) - MOST_FLAWS),
        changed=f"{plain['mended']['share'] * 100:.1f} %",
        after=_section(drawn, mirrored=False),
        mirror=_section(drawn, mirrored=True),
        both_ways=drawn.mirror_symmetric,
        parts=[_part(part, plain["parts"], drawn) for part in plain["parts"]],
        motifs=[_motif(motif, plain["parts"]) for motif in plain["motifs"]],
        sums=sums_of(drawn, section, how),
        lost=found.lost,
    )


def _section(drawn: Drawn, *, mirrored: bool) -> SafeString:
    """All parts, each with its name."""
    return our_svg(section_body(drawn.parts, colours_of(drawn), mirrored=mirrored))


def flaw_lines(drawn: Drawn) -> list[FlawLine]:
    """The places that are too small, at most MOST_FLAWS, with their repairs, cheapest first."""
    names = {c.id: c.name for c in (drawn.before or drawn.raster).palette}
    found = []
    for n, flaw in enumerate(drawn.flaws[:MOST_FLAWS], 1):
        x, y = flaw.place
        says = (
            f"{names[flaw.colour]}: {SMALL[flaw.kind]}. {flaw.width_m * MM:.1f} mm at the log, "
            f"{flaw.in_rod_m * MM:.2f} in the rod; it needs {flaw.limit_m * MM:.1f}."
        )
        offers = [
            (offer.repair, REPAIRS[offer.repair], f"{offer.changed_m2 * UM:.0f} mm²")
            for offer in flaw.offers
        ]
        place = f"{round(x * UM)},{round(y * UM)}"
        at = f"{x * MM:.1f}", f"{-y * MM:.1f}"
        found.append(FlawLine(n, *at, BADGES[n % 4], says, place, offers))
    return found


def _part(part: Plain, parts: list[Plain], drawn: Drawn) -> PartLine:
    names = {other["id"]: other["name"] for other in parts}
    made = f"cut from {names[part['made_from']]}, {part['turned']}" if part["made_from"] else ""
    if part["copies"] > 1:
        made = f"made once for {part['copies']}"
    return PartLine(
        id=part["id"],
        name=part["name"],
        hex=colours_of(drawn)[part["colour"]].hex,
        kind=part["kind"],
        treatment=TREATMENTS[part["treatment"]],
        area=f"{part['area_mm2']:.0f}",
        grams=part["mass_g"],
        log=f"{part['narrowest_mm']:.1f}",
        rod=f"{part['narrowest_in_rod_mm']:.2f}",
        beside=len(part["neighbours"]),
        neighbours=", ".join(names[other] for other in part["neighbours"]),
        made=made,
    )


def _motif(motif: Plain, parts: list[Plain]) -> str:
    names = {part["id"]: part["name"] for part in parts}
    turned = motif["turned_end_for_end"]
    turn = f" Turn {turned} end for end." if turned else ""
    return (
        f"Make once: {', '.join(names[p] for p in motif['parts'])}. "
        f"{motif['scale']:g} times the size, {motif['build_mm']:.0f} mm long; draw to "
        f"{motif['drawn_mm']:.0f} mm, cut {motif['copies']}.{turn} "
        f"Saves {motif['minutes_saved']:.1f} min of one pair of hands."
    )
