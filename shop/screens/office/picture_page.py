"""A picture's page in people's words: flaws, parts, sums, the build, the face."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from shop.picture.answer import drawing_as_plain
from shop.picture.errors import PictureError
from shop.picture.parts import settled
from shop.picture.shapes import Drawn, PicturePart, Section
from shop.picture.sums import log_length, rod_metres, ways_when_short, whole_grams
from shop.picture.svg import section_body
from shop.plan.drawing_work import Decided, Looked, Planned, Seen
from shop.plan.from_drawing import casing_sugar, palette_of, shop_of

Plain = dict[str, Any]
Parts = tuple[PicturePart, ...]
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
WAYS = {"shorten": "Shorten the log", "thin": "Thin its parts", "top up": "Top up from white"}
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
class ColourLine:
    """One sugar of the log."""

    id: str
    name: str
    hex: str
    share: str
    grams: int
    stock: str


@dataclass(frozen=True, slots=True)
class Sums:
    """What the log weighs and gives."""

    colours: list[ColourLine]
    log: str
    length: str
    rod: str
    total_grams: int
    short: list[tuple[str, str, str]]
    wrong: str = ""


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
    """All parts; the room escapes the only words in it, the parts' names."""
    return mark_safe(section_body(drawn.parts, _colours(drawn), mirrored=mirrored))  # noqa: S308


def _colours(drawn: Drawn) -> dict[str, Any]:
    return {c.id: c for c in (*drawn.raster.palette, palette_of([casing_sugar()])[0])}


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
        hex=_colours(drawn)[part["colour"]].hex,
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


def sums_of(
    drawn: Drawn, section: Section, how: Planned, short: str = "", have_g: float | None = None
) -> Sums:
    """Grams and metres of these parts in a log of other mass, rod or densities."""
    parts = settled(drawn.parts, section)
    plain = drawing_as_plain(_in(drawn, section, parts), how.numbers["repair_stock"] / 1e6)
    log, colours = plain["log"], _colours(drawn)
    ways, wrong = _ways(parts, section, how, short, have_g)
    return Sums(
        colours=[
            ColourLine(
                id=c["id"],
                name=c["name"],
                hex=colours[c["id"]].hex,
                share=f"{c['share'] * 100:.1f} %",
                grams=c["mass_g"],
                stock=f"{plain['stock_g'][c['id']]} g" if c["id"] in plain["stock_g"] else "",
            )
            for c in plain["colours"]
        ],
        log=f"{section.log_kg:g} kg",
        length=f"{log['length_mm']:.0f} mm",
        rod=f"{rod_metres(parts, section):.1f} m of {log['rod_mm']:g} mm",
        total_grams=sum(whole_grams(parts).values()),
        short=ways,
        wrong=wrong,
    )


def _in(drawn: Drawn, section: Section, parts: Parts) -> Drawn:
    return replace(drawn, section=section, parts=parts, log_length_m=log_length(parts, section))


def _ways(
    parts: Parts, section: Section, how: Planned, short: str, have_g: float | None
) -> tuple[list[tuple[str, str, str]], str]:
    """What to do when a colour runs short, each with its cost in rod."""
    if not short or not have_g:
        return [], ""
    strip = shop_of(how.numbers, casing_sugar()).limits.strip_m
    try:
        found = ways_when_short(parts, section, short, have_g / 1000, strip)
    except (PictureError, ValueError) as wrong:
        return [], str(wrong)
    return [
        (
            WAYS[way.name],
            f"{way.lost_m:.1f} m of rod lost, {way.rod_m:.1f} m left",
            _extra(way.extra_kg, way.narrowest_m, allowed=way.allowed),
        )
        for way in found
    ], ""


def _extra(extra_kg: float, narrowest_m: float, *, allowed: bool) -> str:
    said = [f"{extra_kg * 1000:.0f} g of white goes in"] if extra_kg > 0.0005 else []
    if not allowed:
        said.append(f"not possible: {narrowest_m * MM:.1f} mm is too thin to lay")
    return "; ".join(said)


@dataclass(frozen=True, slots=True)
class DecidedPage:
    """Verdict and build in words, and the schedule's picture."""

    word: str
    says: str
    questions: list[Plain]
    to_ask: list[str]
    offers: list[Plain]
    figures: Plain
    build: str
    proof: str
    breaks: list[str]
    saves: list[str]
    blocks: list[str]
    gantt: SafeString


def decided_page(found: Decided) -> DecidedPage:
    """The page of a decision."""
    build, said = found.build, found.verdict
    return DecidedPage(
        word=said["verdict"].capitalize(),
        says=said["says"],
        questions=said["questions"],
        to_ask=said["to_ask"],
        offers=said["counter_offers"],
        figures=said["figures"],
        build=build["says"],
        proof=f"{build['proof'].capitalize()}.",
        breaks=[b["why"] for b in build["breaks"]],
        saves=[f"{w['says']}: closed in {w['minutes']:g} min" for w in build["saves"]],
        blocks=[_block(block, build["order"]) for block in build["blocks"]],
        # The room escapes every name it writes into the schedule.
        gantt=mark_safe(found.gantt),  # noqa: S308
    )


def _block(block: Plain, order: list[Plain]) -> str:
    """`1 to 4, by 9 min`: the numbers of its parts in the schedule."""
    numbers = [work["n"] for work in order if work["part"] in block["parts"]]
    span = f"{min(numbers)} to {max(numbers)}" if len(numbers) > 1 else str(numbers[0])
    return f"{block['name'].capitalize()}: {span}, by {-(-block['end_s'] // 60)} min"


@dataclass(frozen=True, slots=True)
class SeenPage:
    """The face, planned and as sweets usually come, with the score."""

    faces: dict[str, SafeString]
    samples: list[SafeString]
    score: str
    low: str
    high: str
    reads: bool
    limit: str
    metric: str
    lost: int
    rod: str


FACES = {
    "drawing": "The face as it was asked for",
    "planned": "The face as it is planned",
    "mirror": "The other face, mirrored",
    "usual": "The face of a usual sweet",
    "usual_mirror": "The other face of a usual sweet, mirrored",
}


def named_svg(svg: str, words: str) -> SafeString:
    """A face of the drawing room, shapes and colours only, with words for who can't see it."""
    return mark_safe(svg.replace('role="img"', f'role="img" aria-label="{escape(words)}"', 1))  # noqa: S308


def seen_page(found: Seen, how: Planned) -> SeenPage:
    """The page of a face."""
    scatter = found.score.get("scatter", {"low": 0.0, "high": 0.0})
    return SeenPage(
        faces={name: named_svg(svg, FACES[name]) for name, svg in found.faces.items()},
        samples=[named_svg(svg, f"Sweet {n}") for n, svg in enumerate(found.samples, 1)],
        score=f"{found.score['score']:.2f}",
        low=f"{scatter['low']:.2f}",
        high=f"{scatter['high']:.2f}",
        reads=found.score["reads"],
        limit=f"{how.numbers['legible'] / 1e6:.2f}",
        metric=found.score["metric"],
        lost=len(found.score["lost"]),
        rod=f"{how.rod_um / 1000:g}",
    )
