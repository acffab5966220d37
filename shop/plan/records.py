"""What can be written down, with its units and limits; and the checks that find what went off."""

from typing import Any

from shop.plan.numbers import Numbers
from shop.plan.portion import Portion
from shop.plan.steps import expand, portion_words

Record = dict[str, Any]


def _unit(up: int, down: int = 1, add: int = 0) -> dict[str, list[int]]:
    return {"factor": [up, down], "offset": [add, 1]}


# Exact by definition: 1 lb = 0.453 592 37 kg, 1 in = 25.4 mm (NIST SP 811, appendix B);
# 1 mmHg = 133.322 387 415 Pa; a difference of 1 °C is 1.8 °F, the scale starts at 32.
UNITS: dict[str, dict[str, Any]] = {
    "temperature": {"degC": _unit(1000), "degF": _unit(5000, 9, -32)},
    "mass": {
        "kg": _unit(10**6),
        "g": _unit(1000),
        "lb": _unit(45_359_237, 100),
        "oz": _unit(45_359_237, 1600),
    },
    "length": {"mm": _unit(1000), "in": _unit(25_400)},
    "humidity": {"%": _unit(10_000)},
    "pressure": {"hPa": _unit(100), "mmHg": _unit(133_322_387_415, 10**9)},
    "density": {"kg/m3": _unit(1000), "g/cm3": _unit(10**6)},
    "grade": {"of 5": _unit(1)},
}
FIXED = {
    "temperature": "m°C",
    "mass": "mg",
    "length": "um",
    "humidity": "ppm",
    "pressure": "Pa",
    "density": "g/m3",
    "grade": "1",
}
INSTRUMENTS = {
    "kettle-thermometer": "Kettle thermometer",
    "room-thermometer": "Room thermometer",
    "surface-thermometer": "Surface thermometer",
    "roller-thermometer": "Roller thermometer",
    "probe": "Probe",
    "hygrometer": "Hygrometer",
    "barometer": "Barometer",
    "floor-scale": "Floor scale, 10 g steps",
    "bench-scale": "Bench scale, 1 g steps",
    "hot-scale": "Hot scale, 5 g steps",
    "pack-scale": "Packing scale, 1 g steps",
    "tape": "Tape",
    "rod-gauge": "Rod gauge",
    "eye": "By eye",
}
# Entry unit, resolution and the step of one press, in the entry unit times the resolution.
ENTRY = {
    "temperature": ("degC", 10, 10),
    "whole": ("degC", 1, 1),
    "mass": ("kg", 100, 1),
    "hot": ("g", 1, 5),
    "small": ("g", 1, 1),
    "length": ("mm", 1, 1),
    "fine": ("mm", 10, 1),
    "humidity": ("%", 1, 1),
    "pressure": ("hPa", 1, 1),
    "density": ("kg/m3", 1, 10),
    "grade": ("of 5", 1, 1),
}
SCALE_STEP = {"floor-scale": 10_000, "hot-scale": 5_000, "bench-scale": 1_000, "pack-scale": 1_000}
USUAL_SHARE = 30_000


def all_records(raw: dict[str, Any], portions: list[Portion]) -> dict[str, Record]:
    """Every record of the sheet by name, one for each portion that is weighed."""
    words = {"portion": [portion_words(p) for p in portions if not p.white]}
    found = {}
    for name, row in raw.items():
        for filled in expand({**row, "name": name}, words):
            found[filled["name"]] = _record(filled)
    return found


def _record(row: dict[str, Any]) -> Record:
    unit, d, press = ENTRY[_entry(row)]
    return {
        "label": row["label"],
        "kind": row["kind"],
        "how": row["how"],
        "instrument": row["instrument"],
        "instrument_name": INSTRUMENTS[row["instrument"]],
        "unit": unit,
        "units": UNITS[row["kind"]],
        "fixed": FIXED[row["kind"]],
        "d": d,
        "press": press,
        "low": row["low"],
        "high": row["high"],
        "target": row.get("target", ""),
        "tolerance": row.get("tolerance", 0),
        "share": row.get("share", USUAL_SHARE) if row["kind"] == "mass" else 0,
        "scale_step": SCALE_STEP.get(row["instrument"], 0),
        "many": 0,
    }


def _entry(row: dict[str, Any]) -> str:
    if row["instrument"] == "hot-scale":
        return "hot"
    return next((k for k in ("whole", "small", "fine") if row.get(k)), str(row["kind"]))


# What must still be done because of it, until somebody says what was changed; common practice.
THEN = {
    "thermometer": "Take another, test it in boiling water",
    "cook": "Stiffer: cut at the upper end",
    "slow_fire": "Sticky: pack at once",
    "warm_table": "Pour thin, on the cool patch",
    "damp_room": "Pack at once, keep lids on",
    "damp_pack": "Pack at once, seal each bag",
    "cold_part": "Warm it again before joining",
    "gauge": "Tag it, cut it to its length",
    "oval": "Roll on, more hands",
    "rejects": "Tell the packer: bags may be short",
    "white_density": "Look at draw and metres again",
}


def checks(n: Numbers, portions: list[Portion]) -> list[dict[str, Any]]:
    """What goes off by itself when a reading is outside its limits."""
    suspect = n["thermometer_suspect"]
    fixed: list[tuple[str, str, str, int | str, int | str, str]] = [
        (
            "thermometer",
            "boiling_water",
            "thermometer_error",
            -suspect,
            suspect,
            "Thermometer suspect",
        ),
        ("cook", "peak", "overcook", -1_500, 1_500, "Cook off the mark"),
        ("slow_fire", "peak", "above_130", 0, n["hot_minutes_limit"], "Too long above 130 °C"),
        ("warm_table", "table_temperature", "table_read", 0, n["table_limit"], "Table too warm"),
        (
            "damp_room",
            "humidity",
            "room_humidity",
            0,
            n["humidity_limit"],
            "Room damp: pack at once",
        ),
        ("damp_pack", "pack_humidity", "pack_room", 0, n["humidity_limit"], "Damp at packing"),
        ("cold_part", "part_temperature", "part_read", n["part_limit"], 120_000, "Part too cold"),
        ("gauge", "gauge", "", "gauge_low", "gauge_high", "Rod off gauge"),
        ("oval", "oval", "oval_share", 0, n["oval_limit"], "Rods oval: turn them longer"),
        ("rejects", "rejects", "reject_share", 0, n["reject_limit"], "Many bad pieces"),
    ]
    found = [_check(*row) for row in fixed]
    for p in portions:
        if not p.white:
            low, high = f"{p.id}_low", f"{p.id}_high"
            found.append(
                _check(p.id, f"{p.id}_weighed", f"{p.id}_mass", low, high, f"{p.name} off weight")
            )
    white = next(p for p in portions if p.white)
    sides = (white.density - 50_000, white.density + 50_000)
    found.append(
        _check("white_density", "white_density", f"{white.id}_density", *sides, "White density off")
    )
    return found


def _check(
    ident: str, record: str, figure: str, low: int | str, high: int | str, say: str
) -> dict[str, Any]:
    limits = {"low": low, "high": high}
    then = THEN.get(ident, "")
    return {"id": ident, "record": record, "figure": figure, **limits, "say": say, "then": then}
