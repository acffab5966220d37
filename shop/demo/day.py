"""What the invented crew did on the invented day: times, weights, counts and readings as typed.

Each line is `(clock, phone, who, what)`; the phones are `kettle`, `table` and `roller`.
"""

from typing import Any

Line = tuple[str, str, str, dict[str, Any]]

# unit of each record as the crew reads it
KILOGRAMS = ["sugar_weighed", "syrup_weighed", "water_weighed", "log_mass"]
GRAMS = [
    *("acid_weighed", "flavour_weighed", "yellow_weighed", "brown_weighed", "wings_weighed"),
    *("jacket_weighed", "head", "tail", "rejects", "dust", "trial", "retain", "bag_mass"),
]
UNITS = {
    **dict.fromkeys(KILOGRAMS, "kg"),
    **dict.fromkeys(GRAMS, "g"),
    **dict.fromkeys(["log_length", "girth", "gauge", "oval"], "mm"),
    **dict.fromkeys(["humidity", "pack_humidity"], "%"),
    **dict.fromkeys(["whiteness", "crack_colour"], "of 5"),
    "barometer": "hPa",
}


def read(what: str, shown: str, nth: int = 0) -> dict[str, Any]:
    """A reading as it stood on the instrument, in decimal."""
    whole, _, part = shown.partition(".")
    body = {"what": what, "n": int(whole + part), "d": 10 ** len(part)}
    place = {"nth": nth} if nth else {}
    return {"kind": "reading_taken", **place, "body": {**body, "unit": UNITS.get(what, "degC")}}


def done(step: str) -> dict[str, Any]:
    """A step finished."""
    return {"kind": "step_done", "step": step, "body": {}}


def count(what: str, n: int) -> dict[str, Any]:
    """`n` more of something counted."""
    return {"kind": "tally_counted", "body": {"what": what, "add": n}}


def lot(step: str, material: str, key: str) -> dict[str, Any]:
    """The lot of a material that was said at a step."""
    return {"kind": "lot_used", "step": step, "body": {"material": material, "lot": key}}


def act(kind: str, **body: Any) -> dict[str, Any]:
    """Anything else."""
    return {"kind": kind, "body": body}


SETUP: list[Line] = [
    ("10:40:00", "kettle", "maren", done("setup.card")),
    (
        "10:40:20",
        "kettle",
        "maren",
        act("hazards_read", people=["isolde", "maren", "pim", "tobit"]),
    ),
    ("10:40:30", "kettle", "maren", done("setup.hazards")),
    ("10:42:00", "kettle", "maren", read("boiling_water", "99.1")),
    ("10:42:05", "kettle", "maren", done("setup.boiling-water")),
    ("10:43:00", "kettle", "maren", read("room_temperature", "23")),
    ("10:43:05", "kettle", "maren", read("humidity", "43")),
    ("10:43:10", "kettle", "maren", read("barometer", "996")),
    ("10:43:15", "kettle", "maren", done("setup.room")),
    ("10:44:00", "kettle", "tobit", read("sugar_weighed", "8.42")),
    ("10:44:04", "kettle", "tobit", lot("setup.weigh-sugar", "sugar", "s118")),
    ("10:44:05", "kettle", "tobit", done("setup.weigh-sugar")),
    ("10:45:00", "kettle", "tobit", read("syrup_weighed", "2.95")),
    ("10:45:04", "kettle", "tobit", lot("setup.weigh-syrup", "glucose-syrup", "g41")),
    ("10:45:05", "kettle", "tobit", done("setup.weigh-syrup")),
    ("10:46:00", "kettle", "tobit", read("water_weighed", "3.00")),
    ("10:46:05", "kettle", "tobit", done("setup.weigh-water")),
    ("10:46:50", "kettle", "tobit", lot("setup.colours", "curcumin", "d31")),
    ("10:46:51", "kettle", "tobit", lot("setup.colours", "caramel", "d32")),
    ("10:47:00", "kettle", "tobit", done("setup.colours")),
    ("10:47:50", "kettle", "tobit", lot("setup.acid", "citric-acid", "c7")),
    ("10:47:51", "kettle", "tobit", lot("setup.acid", "quince", "f23")),
    ("10:48:00", "kettle", "tobit", done("setup.acid")),
    ("10:48:30", "kettle", "isolde", done("setup.tub")),
    ("10:49:00", "kettle", "maren", done("setup.dress")),
    ("10:49:30", "kettle", "maren", done("setup.gas")),
    ("10:49:45", "kettle", "maren", done("setup.blanket")),
    ("10:50:00", "kettle", "isolde", done("setup.guard")),
    ("10:50:30", "kettle", "isolde", done("setup.walkway")),
    ("10:51:00", "kettle", "maren", done("setup.help")),
    ("10:51:30", "kettle", "tobit", done("setup.board")),
    ("10:52:00", "kettle", "isolde", done("setup.rods")),
    ("10:53:00", "kettle", "isolde", read("table_temperature", "31")),
    ("10:53:04", "kettle", "isolde", lot("setup.table", "slab-oil", "o5")),
    ("10:53:05", "kettle", "isolde", done("setup.table")),
    ("10:53:30", "kettle", "isolde", done("setup.phone")),
]

COOK: list[Line] = [
    ("10:54:00", "kettle", "maren", done("cook.load")),
    ("10:55:00", "kettle", "maren", done("cook.light")),
    ("10:59:00", "kettle", "maren", done("cook.syrup")),
    ("11:03:00", "kettle", "maren", done("cook.boil")),
    ("11:03:10", "kettle", "maren", done("cook.lid")),
    ("11:08:10", "kettle", "maren", done("cook.wash")),
    ("11:09:00", "kettle", "maren", done("cook.thermometer")),
    ("11:18:00", "kettle", "maren", done("cook.at-130")),
    ("11:22:00", "kettle", "maren", done("cook.at-140")),
    ("11:27:00", "kettle", "maren", done("cook.poured")),
    ("11:26:30", "kettle", "maren", read("peak", "152.3")),
    ("11:27:40", "kettle", "maren", act("note_written", text="Visitor at the door, 90 s late")),
    ("11:28:00", "kettle", "maren", read("crack_colour", "2")),
    ("11:28:05", "kettle", "maren", done("cook.colour")),
    ("11:28:30", "kettle", "maren", done("cook.kettle-away")),
    (
        "11:28:50",
        "kettle",
        "maren",
        act(
            "mended",
            id="check:cook",
            text="Band 3 K up, close by 12:00, white a quarter more strokes",
        ),
    ),
]

BUILD: list[Line] = [
    ("11:26:00", "table", "tobit", done("table.bars")),
    ("11:29:00", "table", "tobit", done("table.skin")),
    ("11:29:30", "table", "tobit", read("poured_temperature", "128")),
    ("11:29:35", "table", "tobit", done("table.middle")),
    ("11:30:10", "table", "tobit", read("acid_weighed", "110")),
    ("11:30:15", "table", "tobit", done("colour.acid")),
    ("11:30:30", "table", "tobit", read("flavour_weighed", "28")),
    ("11:30:35", "table", "tobit", done("colour.flavour")),
    ("11:31:00", "table", "tobit", read("yellow_weighed", "1230")),
    ("11:31:05", "table", "tobit", done("colour.yellow")),
    ("11:31:30", "table", "tobit", read("brown_weighed", "570")),
    ("11:31:35", "table", "tobit", done("colour.brown")),
    ("11:32:00", "table", "tobit", read("wings_weighed", "85")),
    ("11:32:05", "table", "tobit", done("colour.wings")),
    ("11:33:00", "table", "tobit", read("jacket_weighed", "1890")),
    ("11:33:05", "table", "tobit", done("colour.jacket")),
    ("11:34:30", "table", "tobit", done("colour.knead")),
    ("11:35:00", "table", "tobit", done("cool.turn")),
    ("11:35:40", "table", "tobit", done("cool.split")),
    ("11:36:00", "table", "tobit", read("pull_start", "86")),
    ("11:36:05", "table", "tobit", done("hook.hang")),
    ("11:43:00", "table", "tobit", count("strokes", 115)),
    ("11:43:05", "table", "tobit", done("hook.pull")),
    ("11:43:20", "table", "tobit", read("pull_end", "77")),
    ("11:43:25", "table", "tobit", read("whiteness", "4")),
    ("11:43:30", "table", "tobit", done("hook.flat")),
    (
        "11:43:40",
        "table",
        "tobit",
        {**act("step_passed", reason="No hands free"), "step": "hook.density"},
    ),
    ("11:44:00", "table", "maren", done("block.lay-out")),
    ("11:47:00", "table", "maren", read("part_temperature", "71")),
    ("11:48:00", "table", "maren", done("block.hive")),
    ("11:50:00", "table", "maren", done("block.door")),
    ("11:53:00", "table", "maren", done("block.bees")),
    ("11:55:00", "table", "maren", done("block.field")),
    ("11:56:00", "table", "maren", {**done("block.check"), "for": "tobit"}),
    ("11:58:00", "table", "maren", done("block.band")),
    ("11:58:20", "table", "maren", {**done("block.check-casing"), "for": "tobit"}),
    ("11:59:00", "table", "maren", done("block.jacket")),
    ("12:00:00", "table", "maren", read("log_mass", "10.93")),
    ("12:00:10", "table", "maren", read("log_length", "477")),
    ("12:00:20", "table", "maren", read("girth", "474")),
    ("12:00:30", "table", "maren", done("block.measure")),
]

DRAW: list[Line] = [
    ("11:58:00", "roller", "isolde", read("roller_air", "65")),
    ("11:58:10", "roller", "isolde", done("roller.warm")),
    ("12:02:50", "roller", "isolde", read("log_skin", "72")),
    ("12:03:00", "roller", "isolde", done("roller.in")),
    ("12:06:00", "roller", "isolde", read("head", "340")),
    ("12:06:10", "roller", "isolde", done("roller.point")),
    ("12:07:00", "roller", "isolde", {**done("roller.trial"), "for": "maren"}),
    ("12:13:00", "roller", "isolde", count("rods", 8)),
    ("12:13:10", "roller", "isolde", read("gauge", "14.8", 8)),
    (
        "12:13:40",
        "roller",
        "isolde",
        act("note_written", text="Rods 1 to 8 in the 40 °C rack, red tag"),
    ),
    (
        "12:14:00",
        "roller",
        "maren",
        act("mended", id="check:gauge:gauge#8", text="Draw faster; rods 1 to 8 cut at 10.7 mm"),
    ),
    ("12:16:00", "roller", "isolde", read("gauge", "14.1", 10)),
    ("12:16:05", "roller", "isolde", read("oval", "0.4")),
    ("12:16:10", "roller", "isolde", done("roller.gauge")),
    ("12:18:00", "roller", "isolde", read("rod_temperature", "44")),
    ("12:18:10", "roller", "isolde", done("cut.window")),
    ("12:24:00", "roller", "isolde", read("rejects", "0")),
    ("12:24:10", "roller", "isolde", done("cut.first")),
    ("12:29:00", "roller", "isolde", count("rods", 18)),
]

OFFER: list[Line] = [
    ("12:30:00", "roller", "maren", act("handover_offered", to="greta", glance=1)),
]

END: list[Line] = [
    (
        "12:34:00",
        "roller",
        "greta",
        act(
            "handover_taken",
            target="",
            questions="Which end do the thick rods read? The dot.",
            walked=["kettle", "table", "roller", "cutter"],
        ),
    ),
    (
        "12:35:30",
        "roller",
        "odo",
        {**act("stands_beside", skill="spin", who="maren"), "station": "roller"},
    ),
    ("12:35:40", "roller", "odo", count("rods", 9)),
    ("12:35:50", "roller", "odo", done("roller.draw")),
    ("12:36:00", "roller", "odo", read("tail", "410")),
    ("12:36:10", "roller", "odo", done("roller.tail")),
    ("12:57:30", "roller", "isolde", count("racks", 5)),
    ("12:57:40", "roller", "isolde", done("cut.rods")),
    ("12:58:00", "roller", "isolde", done("cut.last")),
    ("12:59:00", "roller", "maren", act("handover_offered", to="greta", glance=0)),
    (
        "13:00:00",
        "roller",
        "greta",
        act("handover_taken", target="", questions="No questions", walked=["roller", "cutter"]),
    ),
    ("13:04:00", "roller", "isolde", read("dust", "326")),
    ("13:04:10", "roller", "isolde", read("trial", "50")),
    ("13:04:20", "roller", "isolde", done("cut.sieve")),
    ("13:20:00", "roller", "pim", read("pack_humidity", "41")),
    ("13:20:05", "roller", "pim", done("pack.humidity")),
    ("13:49:00", "roller", "pim", count("bags", 95)),
    ("13:49:10", "roller", "pim", read("bag_mass", "102")),
    ("13:49:15", "roller", "pim", lot("pack.bags", "bags", "p12")),
    ("13:49:20", "roller", "pim", done("pack.bags")),
    ("13:50:00", "roller", "pim", read("retain", "100")),
    ("13:50:10", "roller", "pim", done("pack.keep")),
    ("14:20:00", "roller", "isolde", done("pack.clean")),
    ("14:25:00", "roller", "isolde", done("pack.phones")),
    (
        "14:26:00",
        "roller",
        "greta",
        act("owed_paid", key="hook.density:white_density", reason="Rod stub instead: mean 1.29"),
    ),
    ("14:30:00", "roller", "greta", act("batch_closed")),
]

LINES: dict[str, list[Line]] = {
    "demo-planned": [],
    "demo-handover": SETUP + COOK + BUILD + DRAW + OFFER,
    "demo-finished": SETUP + COOK + BUILD + DRAW + OFFER + END,
}
