"""From a drawing's parts to the picture and sugars of a sheet, and the shop's numbers for it."""

import tomllib
from collections.abc import Iterable, Sequence
from functools import cache
from importlib.resources import files
from typing import cast

from shop.picture.draw import Shop
from shop.picture.motifs import Bench
from shop.picture.parts import slug
from shop.picture.shapes import (
    Drawn,
    Limits,
    Motif,
    PaletteColour,
    PicturePart,
    Section,
    Treatment,
)
from shop.plan.numbers import Numbers
from shop.plan.picture import Block, Part, Picture, Shape, Sugar, circle

UM, MM = 1e6, 1e3
CASING, BAND, FIELD = "jacket", "band", "field"
# With the field, band and casing these make seven to tick.
MOST_THINGS, FEWEST_THINGS = 4, 2


@cache
def shop_sugars() -> tuple[Sugar, ...]:
    """The sugars a picture may be drawn in, as the program brings them, without the casing's."""
    return tuple(sugar for sugar in _all_sugars() if sugar.id != CASING)


@cache
def casing_sugar() -> Sugar:
    """The sugar that is rolled on last."""
    return next(sugar for sugar in _all_sugars() if sugar.id == CASING)


@cache
def _all_sugars() -> tuple[Sugar, ...]:
    text = files("shop.plan").joinpath("colours.toml").read_text("utf-8")
    rows = tomllib.loads(text)
    return tuple(Sugar(key, **row) for key, row in rows.items())


def palette_of(sugars: Iterable[Sugar]) -> tuple[PaletteColour, ...]:
    """Sugars as the picture room takes them."""
    return tuple(
        PaletteColour(s.id, s.name, s.swatch, cast(Treatment, s.treatment)) for s in sugars
    )


def section_of(numbers: Numbers, *, log_mg: int, rod_um: int) -> Section:
    """The section that the shop's numbers, a log mass [mg] and a rod [um] make."""
    return Section(
        log_kg=log_mg / 1e6,
        log_diameter_m=numbers["log_diameter"] / UM,
        rod_diameter_m=rod_um / UM,
        jacket_m=numbers["jacket_width"] / UM,
        band_m=numbers["band_width"] / UM,
        densities={
            "clear": numbers["clear_density"] / 1000,
            "light": numbers["light_density"] / 1000,
            "white": numbers["white_density"] / 1000,
        },
    )


def shop_of(numbers: Numbers, casing: Sugar) -> Shop:
    """What hands can lay, eyes read and a bench takes, by the shop's own numbers."""
    limits = Limits(
        strip_m=numbers["strip_limit"] / UM,
        line_m=numbers["line_limit"] / UM,
        hole_m=numbers["hole_limit"] / UM,
        letter_m=numbers["letter_limit"] / UM,
    )
    bench = Bench(
        part_s=numbers["part_time"] / 1000,
        drawing_s=numbers["drawing_time"] / 1000,
        shortest_m=numbers["shortest_build"] / UM,
    )
    return Shop(limits, bench, palette_of([casing])[0])


def planned(
    drawn: Drawn, title: str, sugars: Sequence[Sugar], casing: Sugar
) -> tuple[Picture, tuple[Sugar, ...]]:
    """The picture of a drawing and the sugars it takes, ready for `build_sheet`.

    Copies of a part count with it. Blocks are the things of the drawing, then its field.
    """
    blocks = _blocks(drawn)
    used = {part.portion for part in drawn.parts}
    picture = Picture(
        title=title,
        diameter_um=round(drawn.section.log_diameter_m * UM),
        parts=tuple(_part(part, drawn, blocks) for part in _outside_in(drawn.parts)),
        mirror_symmetric=drawn.mirror_symmetric,
        reading_end=f"The end with the dot of {_dot(drawn)} in the casing",
        blocks=tuple(block for block, _ in blocks),
    )
    return picture, tuple(sugar for sugar in (*sugars, casing) if sugar.id in used)


def _dot(drawn: Drawn) -> str:
    """The picture's commonest colour that shows in the casing."""
    areas: dict[str, float] = {}
    for part in drawn.parts:
        if part.kind not in ("filler", "jacket") and part.treatment != "white":
            areas[part.portion] = areas.get(part.portion, 0.0) + part.area_m2
    names = {colour.id: colour.name.lower() for colour in drawn.raster.palette}
    return names[max(areas, key=lambda p: areas[p])] if areas else "white"


def _outside_in(parts: Sequence[PicturePart]) -> list[PicturePart]:
    """Masters only, in the order they are painted: what is wrapped round the rest comes first."""
    ranks = {"jacket": 0, "sheet": 1, "filler": 2}

    def rank(part: PicturePart) -> tuple[int, float]:
        inside = part.kind == "filler" and part.cluster
        return 3 if inside else ranks.get(part.kind, 3), -_reach(part)

    return sorted((p for p in parts if not p.made_from), key=rank)


def _reach(part: PicturePart) -> float:
    return max(x * x + y * y for x, y in part.polygon) if part.holes else part.area_m2


def _part(part: PicturePart, drawn: Drawn, blocks: Sequence[tuple[Block, set[str]]]) -> Part:
    same = [part, *(p for p in drawn.parts if p.made_from and p.made_from.part == part.id)]
    return Part(
        id=part.id,
        name=part.name,
        portion=part.portion,
        block=_block_of(part, blocks),
        area_um2=round(sum(p.area_m2 for p in same) * UM * UM),
        narrowest_um=round(min(p.narrowest_m for p in same) * UM),
        copies=len(same),
        shapes=tuple(_shape(p, drawn.section) for p in same),
    )


def _block_of(part: PicturePart, blocks: Sequence[tuple[Block, set[str]]]) -> str:
    if part.kind == "jacket":
        return CASING
    if not part.cluster and part.kind == "sheet":
        return BAND
    return next((block.id for block, ids in blocks if part.id in ids), FIELD)


def _shape(part: PicturePart, section: Section) -> Shape:
    """Band and casing are painted as the rounds they fill; what they go round lies on them."""
    if part.holes and not part.cluster:
        inward = 0.0 if part.kind == "jacket" else section.jacket_m
        return circle(0, 0, round((section.log_diameter_m / 2 - inward) * UM))
    points = [[round(x * UM), round(y * UM)] for x, y in part.polygon]
    return {"kind": "polygon", "points": points}


def _blocks(drawn: Drawn) -> list[tuple[Block, set[str]]]:
    """Things of the drawing, the largest first, the small ones together; then the field."""
    things = _things(drawn)
    things.sort(key=lambda parts: -sum(p.area_m2 for p in parts))
    small = [part for parts in things[MOST_THINGS - 1 :] for part in parts]
    if len(things) > MOST_THINGS:
        things = [*things[: MOST_THINGS - 1], small]
    names = [_name(drawn, parts) for parts in things]
    if small and things[-1] is small:
        names[-1] = "Small pieces"
    found = [
        (_block(_numbered(names, i), parts, drawn.motifs), {p.id for p in parts})
        for i, parts in enumerate(things)
    ]
    ground = drawn.raster.palette[drawn.raster.background].name
    cue = "Every gap has a named filler."
    field = Block(FIELD, f"{ground} field", f"Fill with the {ground.lower()} blocks", cue)
    return [*found, (field, set())]


def _things(drawn: Drawn) -> list[list[PicturePart]]:
    """Parts that belong together, copies with what they are cut from; by sugar if too few."""
    masters = [p for p in drawn.parts if p.cluster and not p.made_from]
    things: dict[str, list[PicturePart]] = {}
    for part in masters:
        things.setdefault(part.cluster, []).append(part)
    if len(things) < FEWEST_THINGS:
        things = {}
        for part in masters:
            things.setdefault(part.portion, []).append(part)
    return list(things.values())


def _name(drawn: Drawn, parts: Sequence[PicturePart]) -> str:
    """One or two sugars, the largest first: `Yellow, brown`."""
    areas: dict[str, float] = {}
    for part in parts:
        areas[part.portion] = areas.get(part.portion, 0.0) + part.area_m2
    names = {colour.id: colour.name for colour in drawn.raster.palette}
    two = sorted(areas, key=lambda p: -areas[p])[:2]
    return ", ".join([names[two[0]], *(names[p].lower() for p in two[1:])])


def _numbered(names: Sequence[str], i: int) -> str:
    """`Red 1`, `Red 2` where there are several."""
    if names.count(names[i]) == 1:
        return names[i]
    return f"{names[i]} {names[: i + 1].count(names[i])}"


def _block(name: str, parts: Sequence[PicturePart], motifs: Sequence[Motif]) -> Block:
    """At most eight words to do and three to call."""
    for motif in motifs:
        if set(motif.parts) >= {part.id for part in parts}:
            say = f"Draw {name.lower()}, cut {motif.copies}, turn {motif.flips}"
            cue = f"Built {motif.scale:g} times the size, {motif.build_m * MM:.0f} mm long."
            return Block(slug(name), name, say, cue)
    return Block(
        slug(name), name, f"Lay up {name.lower()}", "Squares first, wedges next, rounds last."
    )
