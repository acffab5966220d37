"""From order, picture, day and numbers to the frozen batch sheet (docs/contracts.md, section 3)."""

import hashlib
import tomllib
from collections.abc import Mapping
from dataclasses import asdict
from functools import cache
from importlib.resources import files
from typing import Any

from shop.craft.syrup import moisture_at
from shop.plan.canonical import canonical
from shop.plan.check_sheet import check_sheet
from shop.plan.numbers import Numbers, defaults
from shop.plan.order import Day, Order, check_order
from shop.plan.picture import Picture
from shop.plan.reckoning import PPM, SEA_LEVEL_PA, Portion, Wanted, reckoning
from shop.plan.records import all_records, checks

Sheet = dict[str, Any]
FORMAT = 1


@cache
def way(name: str) -> dict[str, Any]:
    """One file of the shop's own way."""
    return tomllib.loads(files("shop.plan.way").joinpath(f"{name}.toml").read_text("utf-8"))


def build_sheet(
    *,
    order: Order,
    picture: Picture,
    day: Day,
    numbers: Numbers,
    portions: list[Portion],
    swatches: Mapping[str, str],
    shop: Mapping[str, str],
) -> Sheet:
    """The sheet, ready to freeze.

    Raises OrderWrong, NumberWrong or SheetWrong.
    """
    check_order(order)
    wanted = _wanted(order, day, numbers, portions)
    graph = reckoning(numbers, portions, wanted)
    steps = _steps(graph.quantities)
    sheet = {
        "format": FORMAT,
        "batch": day.batch,
        "lot": day.lot,
        "day": day.day,
        "title": order.title,
        "shop": dict(shop),
        "order": _order(order),
        "boil": {"letter": day.letter, "pattern": day.pattern},
        "people": [asdict(person) for person in day.people],
        "crew": list(day.crew),
        "lead": day.lead,
        "stations": _stations(),
        "steps": steps,
        "order_of_steps": list(steps),
        "records": all_records(way("records"), numbers),
        "graph": graph.quantities,
        "checks": checks(numbers, portions),
        "portions": [_portion(p, swatches) for p in portions],
        "parts": [_part(part, numbers, picture, order) for part in picture.parts],
        "blocks": [
            {"id": b, "name": name, "step": f"block.{_step_of(b)}"} for b, name in picture.blocks
        ],
        "picture": _picture(picture, swatches),
        "marks": way("words")["mark"],
        "hazards": way("words")["hazard"],
        "stop_items": [key for key, step in steps.items() if step["stop"]],
        "zone": {"from": "cook.poured", "to": "cut.last"},
        "hot_scene": {"from": "cook.at-140", "to": "cook.poured"},
        "burn": way("words")["burn"],
        "pass_reasons": way("words")["pass_reasons"],
        "walk": way("words")["walk"],
        "wait_choices_min": [0, 1, 2, 5],
        "balance": BALANCE,
        "numbers": [_number(key, value) for key, value in numbers.items()],
    }
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
    dry = base * (1 - moisture_at(numbers["take_off_sea_level"] / 1000, SEA_LEVEL_PA))
    sugar = dry / (1 + numbers["syrup_per_sugar"] * numbers["syrup_solids"] / PPM / PPM)
    return {
        "sugar": round(sugar),
        "syrup": round(sugar * numbers["syrup_per_sugar"] / PPM),
        "water": round(sugar * numbers["water_per_sugar"] / PPM),
    }


def _wanted(order: Order, day: Day, numbers: Numbers, portions: list[Portion]) -> Wanted:
    return Wanted(
        packs=order.packs,
        fill_mg=order.fill_mg,
        rod_um=order.rod_um,
        piece_um=order.piece_um,
        charge=charge_for(order.log_mg, numbers, portions),
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


def _stations() -> list[dict[str, Any]]:
    return [
        {
            "id": station["id"],
            "name": station["name"],
            "call": station["name"],
            "steps": [step["id"] for step in station["step"]],
        }
        for station in way("steps")["station"]
    ]


EMPTY_STEP: dict[str, Any] = {
    **{"cue": "", "band": "", "caution": "", "number": "", "lines": [], "record": [], "after": []},
    **{"moment": "", "countdown": None, "due": "", "tally": "", "repeat": None, "block": ""},
    **{
        "portion": "",
        "stop": 0,
        "needs_value": 0,
        "second_person": 0,
        "optional": 0,
        "together": 0,
    },
}


def _steps(quantities: list[dict[str, Any]]) -> dict[str, Any]:
    """Every step by id, in the order of the stations, with nothing left out."""
    says = {q["name"]: q["says"] for q in quantities}
    return {
        step["id"]: _step(station["id"], step, says)
        for station in way("steps")["station"]
        for step in station["step"]
    }


def _step(station: str, step: dict[str, Any], says: Mapping[str, str]) -> dict[str, Any]:
    lines = [{"figure": f, "label": says.get(f, f)} for f in step.get("lines", [])]
    return {**EMPTY_STEP, "station": station, **step, "lines": lines}


def _portion(portion: Portion, swatches: Mapping[str, str]) -> dict[str, Any]:
    return {
        "id": portion.id,
        "name": portion.name,
        "swatch": swatches[portion.id],
        "clear": int(portion.density >= defaults()["clear_density"].value),
        "figure": f"{portion.id}_mass" if portion.white else f"{portion.id}_planned",
        "record": "" if portion.white else f"{portion.id}_weighed",
    }


def _part(part: Any, numbers: Numbers, picture: Picture, order: Order) -> dict[str, Any]:
    """A part with what its thinnest place becomes in the rod [um]."""
    in_rod = round(part.narrowest_um * order.rod_um / picture.diameter_um)
    fits = part.narrowest_um >= numbers["strip_limit"] and in_rod >= numbers["line_limit"]
    return {
        **{name: getattr(part, name) for name in ("id", "name", "portion", "block", "area_um2")},
        "narrowest_um": part.narrowest_um,
        "narrowest_in_rod_um": in_rod,
        "copies": part.copies,
        "fits": int(fits),
    }


def _step_of(block: str) -> str:
    """The step that lays a block up."""
    steps = [s for station in way("steps")["station"] for s in station["step"]]
    return str(next(s["id"] for s in steps if s.get("block") == block).removeprefix("block."))


def _picture(picture: Picture, swatches: Mapping[str, str]) -> dict[str, Any]:
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


def _number(key: str, value: int) -> dict[str, Any]:
    number = defaults()[key]
    source = number.source if value == number.value else "Set by this shop"
    return {**asdict(number), "value": value, "source": source}


BALANCE = [
    {"id": "log", "label": "Log", "figure": "log_weighed_mass", "sign": 1},
    {"id": "packed", "label": "Packed", "figure": "packed_mass", "sign": -1},
    {"id": "head", "label": "Head", "figure": "head_weighed_mass", "sign": -1},
    {"id": "tail", "label": "Tail", "figure": "tail_weighed_mass", "sign": -1},
    {"id": "dust", "label": "Dust and chips", "figure": "dust_weighed_mass", "sign": -1},
    {"id": "trial", "label": "Trial cuts", "figure": "trial_weighed_mass", "sign": -1},
    {"id": "retain", "label": "Kept sample", "figure": "retain_weighed_mass", "sign": -1},
]
