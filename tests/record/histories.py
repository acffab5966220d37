"""A small sheet and random histories over it, from a seed."""

import random
from typing import Any

TEMPERATURE = {
    "degC": {"factor": [1000, 1], "offset": [0, 1]},
    "degF": {"factor": [5000, 9], "offset": [-32, 1]},
}
MASS = {
    "kg": {"factor": [1_000_000, 1], "offset": [0, 1]},
    "g": {"factor": [1000, 1], "offset": [0, 1]},
    "lb": {"factor": [45_359_237, 100], "offset": [0, 1]},
}


def step(station: str, *record: str, **more: Any) -> dict[str, Any]:
    """A step with every key it must have."""
    plain = {"say": "Do this", "call": "Do", "cue": "", "band": "", "caution": "", "number": ""}
    plain["heading"] = "cook"
    empty: dict[str, Any] = {
        "lines": [],
        "after": [],
        "moment": "",
        "countdown": None,
        "due": "",
        "tally": "",
    }
    rest = {"repeat": None, "block": "", "portion": "", "stop": 0}
    return {"station": station, "record": list(record), **plain, **empty, **rest, **more}


def record(kind: str, units: dict[str, Any], low: int, high: int) -> dict[str, Any]:
    """A record with hard limits in fixed units."""
    fixed = {"temperature": "m°C", "mass": "mg"}[kind]
    words = {
        "label": kind.title(),
        "kind": kind,
        "how": "inside",
        "instrument": "t1",
        "instrument_name": "T1",
    }
    entry = {"unit": next(iter(units)), "d": 10, "press": 10, "target": "", "tolerance": 0}
    return {**words, **entry, "units": units, "fixed": fixed, "low": low, "high": high, "many": 0}


GRAPH: list[dict[str, Any]] = [
    {"name": "wanted", "op": ["given", 149_000]},
    {"name": "peak", "op": ["read", "peak", "wanted"]},
    {"name": "over", "op": ["sum", ["peak", 1], ["wanted", -1]]},
    {
        "name": "moisture",
        "op": ["table", "peak", [140_000, 149_000, 155_000], [48_700, 30_800, 18_400]],
    },
    {"name": "mass", "op": ["read", "poured", ""]},
    {"name": "water", "op": ["product", "mass", "moisture", 1, 1_000_000]},
    {"name": "poured_at", "op": ["moment", "poured"]},
    {"name": "open_ms", "op": ["given", 2_220_000]},
    {"name": "close_by", "op": ["sum", ["poured_at", 1], ["open_ms", 1], ["over", -60]]},
    {"name": "rods", "op": ["tally", "rods"]},
    {"name": "each", "op": ["quotient", "mass", "rods", 1, 1]},
    {"name": "trusted", "op": ["guard", "over", -3000, 3000]},
    {"name": "either", "op": ["first", "trusted", "over"]},
    {"name": "least", "op": ["min", "peak", "wanted"]},
    {"name": "most", "op": ["max", "peak", "wanted"]},
    {"name": "pieces", "op": ["given", 3]},
]
# In a sheet every quantity has these; here only what the card shows of them.
GRAPH = [{"unit": "mg", "says": "", "spread": 30_000, **quantity} for quantity in GRAPH]

SHEET: dict[str, Any] = {
    "format": 1,
    "batch": "b1",
    "title": "Test",
    "boil": {"letter": "A", "pattern": "dot"},
    "picture": {"reading_end": "dot", "diameter_um": 150_000, "shapes": []},
    "order": {
        **{"number": "W-1", "customer": "", "flavour": "", "country": "", "due": ""},
        **{"packs": 80, "fill_mg": 100_000, "rod_um": 14_000, "piece_um": 12_000, "sour": 0},
    },
    "people": [{"id": p, "name": p.title(), "role": "lead"} for p in ("maren", "tobit", "greta")],
    "crew": ["maren", "tobit"],
    "lead": "maren",
    "stations": [
        {
            "id": "kettle",
            "name": "Kettle",
            "call": "Kettle",
            "steps": ["water", "tub", "light", "at140", "off"],
        },
        {"id": "table", "name": "Table", "call": "Table", "steps": ["pour", "piece", "press"]},
    ],
    "steps": {
        "water": step("kettle", "room"),
        "tub": step("kettle", stop=1),
        "light": step("kettle", moment="lit"),
        "at140": step("kettle", moment="at_140"),
        "off": step("kettle", "peak", moment="off", due="close_by"),
        "pour": step("table", "poured", after=["off"], moment="poured"),
        "piece": step("table", "portion", repeat={"figure": "pieces"}),
        "press": step("table", after=["pour"]),
    },
    "records": {
        "room": record("temperature", TEMPERATURE, 0, 60_000),
        "peak": record("temperature", TEMPERATURE, 100_000, 200_000),
        "poured": record("mass", MASS, 0, 30_000_000),
        "portion": record("mass", MASS, 0, 5_000_000),
    },
    "graph": GRAPH,
    "checks": [
        {
            "id": "peak_off",
            "record": "peak",
            "figure": "over",
            "low": -1500,
            "high": 1500,
            "say": "Off",
        },
        {
            "id": "piece_off",
            "record": "portion",
            "figure": "",
            "low": 0,
            "high": "each",
            "say": "Odd",
        },
    ],
    "portions": [
        {
            **{"id": "brown", "name": "Brown", "record": "poured", "figure": "mass"},
            **{"swatch": "#7a4a1e", "treatment": "clear", "stocked": 0, "dye_mg_per_kg": 0},
        }
    ],
    "blocks": [{"id": "hive", "name": "Hive", "step": "press"}],
    "stop_items": ["tub", "water"],
    "zone": {"from": "pour", "to": "press"},
    "hot_scene": {"from": "at140", "to": "pour"},
    "walk": ["kettle", "table"],
    "expected": [
        {"figure": "mass", "of": "mass", "to": "", "until": ""},
        {"figure": "close_by", "of": "open_ms", "to": "poured_at", "until": "off"},
    ],
}

START = 1_795_000_000_000
DEVICES = ("kettle0", "table00", "office0")


def history(seed: int, length: int) -> list[dict[str, Any]]:
    """`length` events of three devices: mostly sound, some senseless, some about each other."""
    chance = random.Random(seed)
    made: list[dict[str, Any]] = []
    for _ in range(length):
        made.append(_event(chance, made))
    return made


def _event(chance: random.Random, made: list[dict[str, Any]]) -> dict[str, Any]:
    device = chance.choice(DEVICES)
    now = START + len(made) * 900 + chance.randrange(2000)
    kind, more, body = _what(chance, made)
    return {
        "device": device,
        "seq": sum(e["device"] == device for e in made) + 1,
        "v": chance.choice([1] * 30 + [2]),
        "kind": kind,
        "batch": chance.choice(["b1"] * 40 + ["b2"]),
        **chance.choice([{}, {}, {}, {"for": "greta", "signed": "phone"}, {"signed": "shop"}]),
        **chance.choice([{}, {}, {"station": chance.choice(["kettle", "table", ""])}]),
        "by": chance.choice(["maren", "tobit", "greta", ""]),
        "recorded": now,
        "offset": chance.choice([None, 0, -40, 86_400_000]),
        "bound": None,
        "happened": now - chance.choice([0, 0, 60_000, 420_000]),
        "known": "pressed",
        "within": 0,
        "hlc": [now + chance.randrange(-3000, 3000), chance.randrange(3)],
        **more,
        "body": body,
    }


def _what(chance: random.Random, made: list[dict[str, Any]]) -> tuple[str, dict[str, Any], Any]:
    kind = chance.choice(list(BODIES) + ["step_done", "reading_taken"] * 6)
    more: dict[str, Any] = {}
    if kind.startswith("step") or kind == "sheet_amended":
        more["step"] = chance.choice([*SHEET["steps"], "nowhere"])
        if more["step"] == "piece":
            more["nth"] = chance.randrange(1, 5)
    body = BODIES[kind](chance, _refs(made))
    if kind == "reading_taken" and body["what"] == "portion":
        more["nth"] = chance.randrange(1, 5)
    return kind, more, chance.choice([body] * 40 + [{}, {"n": "1"}])


def _refs(made: list[dict[str, Any]]) -> list[str]:
    return [f"{e['device']}:{e['seq']}" for e in made] or ["none:1"]


def _reading(chance: random.Random, refs: list[str]) -> dict[str, Any]:
    what, unit, n, d = chance.choice(
        [
            ("peak", "degC", 1523, 10),
            ("peak", "degF", 305, 1),
            ("peak", "degC", 1490, 1),
            ("peak", "degC", chance.randrange(1300, 1600), 10),
            ("room", "degC", 23, 1),
            ("poured", "kg", 1097, 100),
            ("poured", "g", -3, 1),
            ("portion", "lb", 2431, 1000),
            ("portion", "oz", 4, 1),
            ("nothing", "kg", 1, 7),
        ]
    )
    body = {"what": what, "n": n, "d": d, "unit": unit, "instrument": "t1", "how": "inside"}
    return {**body, "instead_of": chance.choice(refs)} if chance.random() < 0.2 else body


BODIES: dict[str, Any] = {
    "batch_opened": lambda c, r: {"sheet": "h", "lead": c.choice(["maren", "greta"])},
    "batch_closed": lambda c, r: {},
    "batch_given_up": lambda c, r: {"mg": 4_000_000, "text": "grained"},
    "step_done": lambda c, r: {"after": c.choice(r)} if c.random() < 0.3 else {},
    "step_undone": lambda c, r: {"target": c.choice(r)},
    "step_passed": lambda c, r: {"reason": "no hands"},
    "reading_taken": _reading,
    "struck": lambda c, r: {"target": c.choice(r), "reason": "wrong boil"},
    "owed_added": lambda c, r: {
        "text": "weigh the head",
        **c.choice([{}, {"because": "check:peak_off"}]),
    },
    "owed_paid": lambda c, r: {"key": c.choice(["water:room", "off:peak", *r]), "reason": "gone"},
    "tally_counted": lambda c, r: {
        "what": c.choice(["rods", "strokes"]),
        "add": c.randrange(-1, 9),
    },
    "lot_used": lambda c, r: {
        "material": c.choice(["sugar", "syrup", "𝔄", "ﬀ"]),
        "lot": c.choice(["s118", "s119", ""]),
        **c.choice([{}, {}, {"mg": c.randrange(10**7)}]),
        **c.choice([{}, {}, {"also": 1}, {"also": 0}]),
    },
    "log_turned": lambda c, r: c.choice([{}, {}, {"after": c.choice(r)}]),
    "note_written": lambda c, r: {"text": c.choice(["grain 🍬", "stiff", "ﬀ é"])},
    "photo_taken": lambda c, r: {
        **{"sha256": c.choice("ab") * 64, "size": 3, "type": "image/jpeg"},
        **c.choice([{}, {"what": "left end"}]),
    },
    "sound_kept": lambda c, r: {"sha256": "c" * 64, "size": 2, "type": "audio/webm"},
    "hazards_read": lambda c, r: {"people": c.sample(["maren", "tobit", "𝔄", "ﬀ"], 2)},
    "countdown_started": lambda c, r: {
        "id": c.choice("ab"),
        "label": "Lid",
        "deadline": START + c.randrange(10**7),
    },
    "countdown_stopped": lambda c, r: {"id": c.choice("ab")},
    "went_off": lambda c, r: {"code": "grain", "text": ""},
    "mended": lambda c, r: {
        "id": c.choice(["check:peak_off", "check:lit_open", *r]),
        "text": "cut edge",
    },
    "handover_offered": lambda c, r: {"to": "greta", "glance": c.randrange(2)},
    "handover_taken": lambda c, r: {
        "target": c.choice(r),
        "questions": "none",
        "walked": ["kettle"],
        **c.choice([{}, {"right": 8}]),
    },
    "walk_stamped": lambda c, r: {"target": c.choice(r), "places": ["kettle", "table"]},
    "seen": lambda c, r: {"target": c.choice(r)},
    "stood_in": lambda c, r: {},
    "stands_beside": lambda c, r: {"skill": "pull", "who": c.choice(["maren", "greta"])},
    "boil_taken": lambda c, r: {"from": c.choice(["maren", "tobit", "greta"])},
    "crew_changed": lambda c, r: {"crew": [{"id": "greta", "name": "Greta", "role": "lead"}]},
    "sheet_amended": lambda c, r: {"change": c.choice(["drop", "restore"]), "reason": "no time"},
    "interrupted": lambda c, r: {"cause": "burn"},
    "carried_on": lambda c, r: {"target": c.choice(r), "how": "false alarm"},
    "told_the_moon": lambda c, r: {"x": 1},
}
