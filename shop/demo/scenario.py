"""The invented order W-0117: a skep beehive with two bees that face each other."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from shop.demo.materials import for_sheet
from shop.plan.numbers import shop_numbers
from shop.plan.order import Day, Order, Person
from shop.plan.own_way import Way
from shop.plan.picture import Block, Part, Picture, Sugar, circle, polygon
from shop.plan.sheet import build_sheet
from shop.plan.skills import ladder

ZONE = ZoneInfo("Europe/London")
DAY = "2026-11-25"
SHOP = {
    "name": "Wobblethwaite Sugar Loft",
    "site_address": "The Loft, Treacle Yard, Wobblethwaite",
    "emergency_number": "112",
    "nearest_tap": "Left of the cooling table",
}
ALL_SKILLS = tuple(skill.id for skill in ladder())
HANDS = ("dress", "pack", "roll", "hold", "cut")
# Odo is new at the hook: he has not pulled or spun alone yet.
PEOPLE = (
    Person("maren", "Maren", "lead maker", ALL_SKILLS),
    Person("tobit", "Tobit", "second hand", (*HANDS, "pull", "colour", "squares", "spin")),
    Person("isolde", "Isolde", "roller hand", (*HANDS, "pull", "spin")),
    Person("pim", "Pim", "front and packing", ("dress", "pack", "accept")),
    Person("greta", "Greta", "lead maker", ALL_SKILLS),
    Person("odo", "Odo", "second hand", (*HANDS, "colour")),
)
SUGARS = (
    Sugar("yellow", "Yellow", "#f2c230", "light", stocked=True, dye_mg_per_kg=150),
    Sugar("brown", "Brown", "#4a2811", "clear", stocked=True, dye_mg_per_kg=400),
    Sugar("wings", "Wings", "#cfe3ec", "clear"),
    Sugar("jacket", "Casing", "#e0982c", "clear", dye_mg_per_kg=60),
    Sugar("white", "White", "#fdf8ec", "white"),
)
# The three batches of the demo: id, lot, letter, pattern.
BATCHES = {
    "demo-planned": ("L6329C", "C", "check"),
    "demo-handover": ("L6329B", "B", "dot"),
    "demo-finished": ("L6329A", "A", "stripe"),
}


def when(clock: str) -> int:
    """`11:26:30` on the demo's day, in ms since 1970."""
    moment = datetime.fromisoformat(f"{DAY}T{clock}").replace(tzinfo=ZONE)
    return round(moment.timestamp() * 1000)


ORDER = Order(
    number="W-0117",
    customer="An invented customer",
    title="Beehive, quince and lemon balm",
    flavour="quince and lemon balm",
    sour=True,
    country="UK",
    due="2026-12-04",
    packs=80,
    fill_mg=100_000,
    rod_um=14_000,
    piece_um=12_000,
    log_mg=11_000_000,
)


def _box(x: int, y: int, width: int, height: int) -> dict[str, Any]:
    """An upright rectangle from its lower left corner [mm to um]."""
    left, low, right, high = (v * 1000 for v in (x, y, x + width, y + height))
    return polygon((left, low), (right, low), (right, high), (left, high))


def _mm2(area: int) -> int:
    return area * 1_000_000


PICTURE = Picture(
    title="Beehive",
    diameter_um=150_000,
    mirror_symmetric=True,
    reading_end="The end with the dot of brown in the casing",
    blocks=(
        Block(
            "hive",
            "Hive",
            "Lay up hive layers and lines",
            "Squares first, press from the middle out.",
        ),
        Block("door", "Door", "Set the door, left and right of it", "Edge dents but springs back."),
        Block(
            "bees",
            "Bees",
            "Draw one bee long, halve, turn one",
            "The second half end for end: they face each other.",
        ),
        Block(
            "field", "White field", "Fill with the white blocks", "Every gap has a named filler."
        ),
    ),
    parts=(
        Part(
            "casing",
            "Casing, clear gold",
            "jacket",
            "jacket",
            _mm2(2714),
            6000,
            1,
            (circle(0, 0, 75_000),),
        ),
        Part("band", "White band", "white", "band", _mm2(3267), 8000, 1, (circle(0, 0, 69_000),)),
        Part("field", "White field", "white", "field", _mm2(8862), 8000, 1, ()),
        Part(
            "layers",
            "Hive layers",
            "yellow",
            "hive",
            _mm2(1312),
            11_000,
            3,
            (_box(-28, -40, 56, 14), _box(-20, -20, 40, 11), _box(-11, -3, 22, 12)),
        ),
        Part(
            "lines",
            "Hive lines",
            "brown",
            "hive",
            _mm2(420),
            6000,
            2,
            (_box(-22, -26, 44, 6), _box(-13, -9, 26, 6)),
        ),
        Part("door", "Door", "brown", "door", _mm2(168), 12_000, 1, (_box(-6, -40, 12, 14),)),
        Part(
            "bees",
            "Bees",
            "yellow",
            "bees",
            _mm2(604),
            6000,
            2,
            (circle(-36_000, 26_000, 11_300), circle(36_000, 26_000, 11_300)),
        ),
        Part(
            "stripes",
            "Bee stripes",
            "brown",
            "bees",
            _mm2(204),
            6000,
            2,
            (_box(-39, 17, 6, 18), _box(33, 17, 6, 18)),
        ),
        Part(
            "wings",
            "Wings, clear",
            "wings",
            "bees",
            _mm2(120),
            8700,
            2,
            (circle(-40_000, 41_000, 4_370), circle(40_000, 41_000, 4_370)),
        ),
    ),
)


def demo_sheet(batch: str, picture: Picture = PICTURE, way: Way | None = None) -> dict[str, Any]:
    """The sheet of one of the demo's batches; of another picture or way where one is given."""
    lot, letter, pattern = BATCHES[batch]
    numbers = shop_numbers({})
    day = Day(
        batch=batch,
        lot=lot,
        letter=letter,
        pattern=pattern,
        day=DAY,
        light_up=when("10:55"),
        shift_end=when("12:30"),
        people=PEOPLE,
        crew=("maren", "tobit", "isolde", "pim"),
        lead="maren",
    )
    return build_sheet(
        order=ORDER,
        picture=picture,
        day=day,
        numbers=numbers,
        sugars=SUGARS,
        shop=SHOP,
        materials=for_sheet(),
        way=way,
    )
