"""The picture's side of a sheet: portions, parts with how long they stick, and the drawing."""

from collections.abc import Iterable, Mapping
from typing import Any

from shop.craft.conduction import Body
from shop.craft.cool import open_times
from shop.craft.heat import boiled_sugar
from shop.craft.size import drawn_feature
from shop.plan.numbers import Numbers, defaults
from shop.plan.order import Order
from shop.plan.picture import Block, Part, Picture, Sugar
from shop.plan.portion import PPM, Portion, Round

Sheet = dict[str, Any]
# Blocks that every log gets, outermost first.
ROUNDS = {"jacket": "Casing", "band": "Band"}
# Enough for minutes that are worth ± 30 %: within half a per cent of four times as many.
COOLING_STEPS = 40


def portions_of(picture: Picture, sugars: Iterable[Sugar], numbers: Numbers) -> list[Portion]:
    """Each sugar with its area in the section, the shop's density for it, and its repair stock.

    Stock is kept of sugars that carry the picture; the casing and clear windows have none.
    """
    return [
        Portion(
            id=sugar.id,
            name=sugar.name,
            area_um2=picture.area(sugar.id),
            density=numbers[f"{sugar.treatment}_density"],
            doubt=defaults()[f"{sugar.treatment}_density"].doubt,
            stock=numbers["repair_stock"] if sugar.stocked else 0,
            white=sugar.treatment == "white",
            dye_mg_per_kg=sugar.dye_mg_per_kg,
        )
        for sugar in sugars
    ]


def rounds_of(picture: Picture) -> list[Round]:
    """The casing and the band under it: the parts that are rolled round the rest."""
    found = []
    for block, name in ROUNDS.items():
        parts = [part for part in picture.parts if part.block == block]
        for portion in sorted({part.portion for part in parts}):
            area = sum(part.area_um2 for part in parts if part.portion == portion)
            share = round(area * PPM / picture.area(portion))
            found.append(Round(f"round_{block}", name, portion, share))
    return found


def picture_of(sheet: Sheet) -> tuple[Picture, tuple[Sugar, ...]]:
    """The picture and its sugars as an earlier sheet had them, for making them again."""
    shapes: dict[str, list[dict[str, Any]]] = {}
    for shape in sheet["picture"]["shapes"]:
        plain = {k: v for k, v in shape.items() if k not in ("part", "swatch")}
        shapes.setdefault(shape["part"], []).append(plain)
    parts = tuple(
        Part(
            **{k: part[k] for k in ("id", "name", "portion", "block", "area_um2")},
            narrowest_um=part["narrowest_um"],
            copies=part["copies"],
            shapes=tuple(shapes.get(part["id"], ())),
        )
        for part in sheet["parts"]
    )
    blocks = tuple(
        Block(
            b["id"], b["name"], sheet["steps"][b["step"]]["say"], sheet["steps"][b["step"]]["cue"]
        )
        for b in sheet["blocks"]
        if b["id"] not in ROUNDS
    )
    drawn = sheet["picture"]
    picture = Picture(
        title=drawn["title"],
        diameter_um=drawn["diameter_um"],
        parts=parts,
        mirror_symmetric=bool(drawn["mirror_symmetric"]),
        reading_end=drawn["reading_end"],
        blocks=blocks,
    )
    sugars = tuple(
        Sugar(
            p["id"], p["name"], p["swatch"], p["treatment"], bool(p["stocked"]), p["dye_mg_per_kg"]
        )
        for p in sheet["portions"]
    )
    return picture, sugars


def portion_entry(portion: Portion, sugar: Sugar) -> dict[str, Any]:
    return {
        "id": portion.id,
        "name": portion.name,
        "swatch": sugar.swatch,
        "treatment": sugar.treatment,
        "stocked": int(sugar.stocked),
        "dye_mg_per_kg": sugar.dye_mg_per_kg,
        "figure": f"{portion.id}_mass" if portion.white else f"{portion.id}_planned",
        "record": "" if portion.white else f"{portion.id}_weighed",
    }


def part_entries(picture: Picture, numbers: Numbers, order: Order) -> list[dict[str, Any]]:
    """Every part, with how long it'll stick on the board; all of them cooled in one go."""
    strips = [strip_of(part, numbers) for part in picture.parts]
    low, high = numbers["part_limit"] / 1000, numbers["open_from"] / 1000
    opens = open_times(strips, from_c=high, to_c=low, steps=COOLING_STEPS)
    return [
        {**_part(part, numbers, picture, order), "open_ms": round(seconds * 1000)}
        for part, seconds in zip(picture.parts, opens, strict=True)
    ]


def strip_of(part: Part, n: Numbers) -> Body:
    """A part as a strip of its thinnest place, lying on the dry board."""
    sugar = boiled_sugar(n["clear_density"] / 1000)
    room = n["room"] / 1000
    thick = part.narrowest_um / 1e6
    below = n["board_contact"] / 10
    return Body(thick, sugar, n["open_from"] / 1000, air_c=room, below=below, bed_c=room)


def _part(part: Part, numbers: Numbers, picture: Picture, order: Order) -> dict[str, Any]:
    """A part with what its thinnest place becomes in the rod [um]."""
    in_rod = round(drawn_feature(part.narrowest_um, picture.diameter_um, order.rod_um))
    fits = part.narrowest_um >= numbers["strip_limit"] and in_rod >= numbers["line_limit"]
    return {
        **{name: getattr(part, name) for name in ("id", "name", "portion", "block", "area_um2")},
        "narrowest_um": part.narrowest_um,
        "narrowest_in_rod_um": in_rod,
        "copies": part.copies,
        "fits": int(fits),
    }


def picture_entry(picture: Picture, swatches: Mapping[str, str]) -> dict[str, Any]:
    return {
        "title": picture.title,
        "diameter_um": picture.diameter_um,
        "mirror_symmetric": int(picture.mirror_symmetric),
        "reading_end": picture.reading_end,
        "shapes": [
            {"part": part.id, "swatch": swatches[part.portion], **shape}
            for part in picture.parts
            for shape in part.shapes
        ],
    }
