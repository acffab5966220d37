"""Grams and metres of a picture's log, also of one that is tried out, in people's words."""

from dataclasses import dataclass, replace
from typing import Any

from shop.picture.answer import drawing_as_plain
from shop.picture.errors import PictureError
from shop.picture.parts import settled
from shop.picture.shapes import Drawn, PaletteColour, PicturePart, Section
from shop.picture.sums import log_length, rod_metres, ways_when_short, whole_grams
from shop.plan.drawing_work import Planned
from shop.plan.from_drawing import casing_sugar, palette_of, shop_of
from shop.sentences import reason

Plain = dict[str, Any]
Parts = tuple[PicturePart, ...]
MM = 1000.0
WAYS = {"shorten": "Shorten the log", "thin": "Thin its parts", "top up": "Top up from white"}


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


def colours_of(drawn: Drawn) -> dict[str, PaletteColour]:
    """Its sugars by id, the casing's among them."""
    return {c.id: c for c in (*drawn.raster.palette, palette_of([casing_sugar()])[0])}


def sums_of(
    drawn: Drawn, section: Section, how: Planned, short: str = "", have_g: float | None = None
) -> Sums:
    """Grams and metres of these parts in a log of other mass, rod or densities."""
    parts = settled(drawn.parts, section)
    plain = drawing_as_plain(_in(drawn, section, parts), how.numbers["repair_stock"] / 1e6)
    log, colours = plain["log"], colours_of(drawn)
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
        return [], reason(wrong)
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
