"""From order, picture, day and numbers to the frozen batch sheet (docs/contracts.md, section 3)."""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Any

from shop.craft.cook import charge
from shop.craft.syrup import moisture_at
from shop.plan import crew
from shop.plan.canonical import canonical
from shop.plan.check_sheet import check_sheet
from shop.plan.kettle_graph import SEA_LEVEL_PA
from shop.plan.materials import Material, sheet_materials
from shop.plan.numbers import Numbers, defaults
from shop.plan.order import Day, Order, Person, check_order
from shop.plan.own_way import Way, programs_way
from shop.plan.picture import Picture, Sugar
from shop.plan.portion import PPM, Portion, Wanted
from shop.plan.reckoning import reckoning
from shop.plan.records import all_records, checks
from shop.plan.sheet_picture import (
    part_entries,
    picture_entry,
    portion_entry,
    portions_of,
    rounds_of,
)
from shop.plan.skills import ladder
from shop.plan.steps import all_steps

Sheet = dict[str, Any]
FORMAT = 1


def build_sheet(
    *,
    order: Order,
    picture: Picture,
    day: Day,
    numbers: Numbers,
    sugars: Iterable[Sugar],
    shop: Mapping[str, str],
    way: Way | None = None,
    materials: Iterable[Material] | None = None,
) -> Sheet:
    """The sheet, ready to freeze; by the way that comes with the program unless another is given.

    Without `materials` it names none, as for a shop that keeps no store room.

    Raises OrderWrong, NumberWrong or SheetWrong.
    """
    check_order(order)
    way = way or programs_way()
    swatches = {sugar.id: sugar.swatch for sugar in sugars}
    portions = portions_of(picture, sugars, numbers)
    wanted = _wanted(order, day, numbers, portions)
    graph = reckoning(numbers, portions, rounds_of(picture), wanted)
    steps = all_steps(way.steps, portions, picture.blocks, graph.quantities)
    sheet = {
        "format": FORMAT,
        "batch": day.batch,
        "lot": day.lot,
        "day": day.day,
        "title": order.title,
        "shop": dict(shop),
        "order": _order(order),
        "boil": {"letter": day.letter, "pattern": day.pattern},
        "people": [_person(person) for person in day.people],
        "roles": crew.of_a_sheet(),
        "skills": [{"id": skill.id, "name": skill.name} for skill in ladder()],
        "crew": list(day.crew),
        "lead": day.lead,
        "stations": _stations(way, steps),
        "steps": steps,
        "order_of_steps": list(steps),
        "records": all_records(way.records, portions),
        "graph": graph.quantities,
        "checks": checks(numbers, portions),
        "portions": [portion_entry(p, sugar) for p, sugar in zip(portions, sugars, strict=True)],
        "parts": part_entries(picture, numbers, order),
        "blocks": _blocks(steps, picture),
        "picture": picture_entry(picture, swatches),
        "marks": way.words["mark"],
        "hazards": way.words["hazard"],
        "stop_items": [key for key, step in steps.items() if step["stop"]],
        "zone": {"from": "cook.poured", "to": "cut.last"},
        "hot_scene": {"from": "cook.at-140", "to": "cook.poured"},
        "burn": way.words["burn"],
        "pass_reasons": way.words["pass_reasons"],
        "walk": way.words["walk"],
        "wait_choices_min": [0, 1, 2, 5],
        "expected": EXPECTED,
        "balance": BALANCE,
        "numbers": [_number(key, value) for key, value in numbers.items()],
    }
    if way.version:
        sheet["way"] = way.version
    if materials is not None:
        sheet["materials"] = sheet_materials(
            materials, flavour=order.flavour, portions=portions, numbers=numbers, steps=steps
        )
    check_sheet(sheet)
    return sheet


def sheet_hash(sheet: Sheet) -> str:
    """Its name: SHA-256 of its canonical bytes, in hex."""
    return hashlib.sha256(canonical(sheet).encode()).hexdigest()


def charge_for(log_mg: int, numbers: Numbers, portions: list[Portion]) -> dict[str, int]:
    """Sugar, syrup and water [mg] whose boil leaves the log and its repair stock.

    Dry solids are conserved; moisture at the wanted take-off temperature by Starzak and Peacock.
    """
    per_metre = sum(p.mg_per_metre for p in portions)
    stocked = sum(p.mg_per_metre * (PPM + p.stock) for p in portions) / PPM
    usable = log_mg * stocked / per_metre
    table = usable * PPM / (PPM - numbers["table_loss"])
    base = table * PPM / (PPM + numbers["acid_share"] + numbers["flavour_share"])
    kettle = charge(
        cooked_kg=base / 1e6,
        moisture=moisture_at(numbers["take_off_sea_level"] / 1000, SEA_LEVEL_PA),
        syrup_per_sucrose=numbers["syrup_per_sugar"] / PPM,
        water_per_sucrose=numbers["water_per_sugar"] / PPM,
        syrup_solids=numbers["syrup_solids"] / PPM,
    )
    parts = {"sugar": kettle.sucrose, "syrup": kettle.syrup, "water": kettle.water}
    return {part: round(kg * 1e6) for part, kg in parts.items()}


def _wanted(order: Order, day: Day, numbers: Numbers, portions: list[Portion]) -> Wanted:
    return Wanted(
        packs=order.packs,
        fill_mg=order.fill_mg,
        rod_um=order.rod_um,
        piece_um=order.piece_um,
        sugar_mg=charge_for(order.log_mg, numbers, portions)["sugar"],
        shift_end=day.shift_end,
        light_up=day.light_up,
    )


def _order(order: Order) -> dict[str, Any]:
    kept = ("number", "customer", "flavour", "country", "due", "packs", "fill_mg", "rod_um")
    plain = asdict(order)
    return {
        **{name: plain[name] for name in kept},
        "piece_um": order.piece_um,
        "sour": int(order.sour),
    }


def _person(person: Person) -> dict[str, Any]:
    plain = {"id": person.id, "name": person.name, "role": person.role}
    return plain if person.solo is None else {**plain, "solo": list(person.solo)}


def _stations(way: Way, steps: Mapping[str, Any]) -> list[dict[str, Any]]:
    return [
        {
            "id": station["id"],
            "name": station["name"],
            "call": station["name"],
            "steps": [key for key, step in steps.items() if step["station"] == station["id"]],
        }
        for station in way.steps["station"]
    ]


def _blocks(steps: Mapping[str, Any], picture: Picture) -> list[dict[str, str]]:
    """The picture's blocks, then the band and the casing that every log gets."""
    names = {block.id: block.name for block in picture.blocks}
    return [
        {"id": step["block"], "name": names.get(step["block"], step["call"]), "step": key}
        for key, step in steps.items()
        if step["block"]
    ]


def _number(key: str, value: int) -> dict[str, Any]:
    number = defaults()[key]
    source = number.source if value == number.value else "Set by this shop"
    return {**asdict(number), "value": value, "source": source}


# Predictions of the handover card, until a moment is past: as unsure as the figure `of`, and no
# later than the figure `to`.
EXPECTED = [
    {"figure": "close_by", "of": "open_lost", "to": "", "until": "closed"},
    {"figure": "last_rod_by", "of": "drawing", "to": "", "until": "last_rod"},
    {"figure": "zone_until", "of": "zone", "to": "zone_latest", "until": "last_cut"},
    {"figure": "rods", "of": "rods", "to": "", "until": "last_rod"},
    {"figure": "packs", "of": "packs", "to": "", "until": ""},
]
BALANCE = [
    {"id": "log", "label": "Log", "figure": "log_weighed_mass", "sign": 1},
    {"id": "packed", "label": "Packed", "figure": "packed_mass", "sign": -1},
    {"id": "head", "label": "Head", "figure": "head_weighed_mass", "sign": -1},
    {"id": "tail", "label": "Tail", "figure": "tail_weighed_mass", "sign": -1},
    {"id": "rejects", "label": "Bad pieces", "figure": "rejects_weighed_mass", "sign": -1},
    {"id": "dust", "label": "Dust and chips", "figure": "dust_weighed_mass", "sign": -1},
    {"id": "trial", "label": "Trial cuts", "figure": "trial_weighed_mass", "sign": -1},
    {"id": "retain", "label": "Kept sample", "figure": "retain_weighed_mass", "sign": -1},
]
