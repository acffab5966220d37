"""Making again: a log for other bags, and the picture as hands built it rather than as drawn."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from shop.picture.needs import aside_kg, bag_kg
from shop.plan.evaluate import evaluate
from shop.plan.numbers import Numbers
from shop.plan.order import LIMITS
from shop.plan.picture import Part, Picture, Sugar
from shop.plan.whole import half_up

Sheet = dict[str, Any]
PPM = 1_000_000
BAND, FIELD = "band", "field"
NOTHING: Mapping[str, Mapping[str, int]] = {"latest": {}, "moments": {}, "tallies": {}}


@dataclass(frozen=True, slots=True)
class Bags:
    """So many bags, and what stands on the label of each [mg]."""

    packs: int
    fill_mg: int


def planned_figures(sheet: Sheet) -> dict[str, int | None]:
    """The figures of a sheet before the first reading, in their fixed units."""
    return evaluate(sheet["graph"], NOTHING)


def bags_of(sheet: Sheet) -> Bags:
    """What the sheet was made for."""
    return Bags(sheet["order"]["packs"], sheet["order"]["fill_mg"])


def log_for(sheet: Sheet, bags: Bags, numbers: Numbers) -> int:
    """Log [mg] for other bags, with as large a share to spare as the sheet's log had.

    The bags and what is set aside over what a log loses in its ends and as dust, by the numbers of
    now. Not below the smallest log there is; one that is too large is the order's to refuse.
    """
    was = planned_figures(sheet)["log_mass_forecast"] or 0
    wanted, had = (_least(some, numbers) for some in (bags, bags_of(sheet)))
    return max(round(was * wanted / had), LIMITS["log_mg"][0])


def _least(bags: Bags, n: Numbers) -> float:
    """The least log [kg] that fills these bags, but for a factor that is the same for all."""
    return bags.packs * bag_kg(bags.fill_mg, n) + aside_kg(n)


def as_built(
    picture: Picture,
    sugars: Sequence[Sugar],
    blocks: Sequence[str],
    ratios: Mapping[str, int],
) -> Picture:
    """The picture with its blocks in this order, and with these sugars so much larger [ppm].

    What they take or leave the white field gives or gets: the section stays as large as it was.
    Where it can't give so much, the areas stay as drawn.
    """
    place = {block: n for n, block in enumerate(blocks)}
    ordered = sorted(picture.blocks, key=lambda block: place.get(block.id, len(place)))
    sized = tuple(_sized(part, ratios.get(part.portion, PPM)) for part in picture.parts)
    parts = _with_field(sized, picture, sugars)
    return replace(picture, blocks=tuple(ordered), parts=parts or picture.parts)


def _sized(part: Part, ratio: int) -> Part:
    if ratio == PPM:
        return part
    wide = round(part.narrowest_um * math.sqrt(ratio / PPM))
    return replace(part, area_um2=half_up(part.area_um2 * ratio, PPM), narrowest_um=wide)


def _with_field(
    parts: tuple[Part, ...], picture: Picture, sugars: Sequence[Sugar]
) -> tuple[Part, ...] | None:
    """The parts with the white field as large as they leave it; None where they leave none."""
    over = sum(part.area_um2 for part in parts) - picture.total
    if not over:
        return parts
    white = {sugar.id for sugar in sugars if sugar.treatment == "white"}
    fields = [p for p in parts if p.portion in white and p.block != BAND]
    field = max(fields, key=lambda part: part.area_um2, default=None)
    if field is None or field.area_um2 <= over:
        return None
    less = replace(field, area_um2=field.area_um2 - over)
    return tuple(less if part is field else part for part in parts)
