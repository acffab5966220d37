"""Shops whose true numbers are known: boils of the invented picture, with honest scatter."""

import math
import random
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass
from functools import cache
from typing import Any

from shop.demo.day import LINES
from shop.demo.load import _event
from shop.demo.scenario import demo_sheet, when
from shop.record.fold import fold

Event = dict[str, Any]


@dataclass(frozen=True)
class TrueShop:
    """What this shop is really like; `scatter` is the share by which a boil differs from it."""

    late_rise: float = 830.0  # mK in 15 s
    thermometer: float = 350.0  # mK
    white_density: float = 1_215_000.0  # g/m3
    table_loss: float = 17_000.0  # ppm
    head_share: float = 36_000.0
    tail_share: float = 31_000.0
    dust_share: float = 24_000.0
    table_plastic: float = 430_000.0  # ms
    strokes: float = 105.0
    pull_time: float = 410_000.0
    close_time: float = 300_000.0
    rod_interval: float = 51_500.0
    zone: float = 7_200_000.0
    scatter: float = 0.05


@cache
def sheet() -> dict[str, Any]:
    """The invented boil's sheet; callers share it and must not change it."""
    return demo_sheet("demo-finished")


def demo_events() -> list[Event]:
    """The invented day as its phones sent it, with the opening."""
    lines = LINES["demo-finished"]
    return [
        _opening(),
        *(_event(line, sheet(), f"{line[1]}0", n) for n, line in enumerate(lines, 1)),
    ]


def demo_state() -> dict[str, Any]:
    """What the invented day came to."""
    return fold(sheet(), demo_events())


def boils(true: TrueShop, number: int, seed: int) -> Iterator[dict[str, Any]]:
    """States of so many boils of a shop."""
    chance = random.Random(seed)
    for _ in range(number):
        yield boil(true, chance)


def boil(true: TrueShop, chance: random.Random) -> dict[str, Any]:
    """One boil: the invented day with this shop's own times and weights."""
    day = _Day(true, chance)
    day.cook()
    day.table()
    day.log()
    day.rods()
    return fold(sheet(), day.events)


class _Day:
    """The invented day's events, changed one after the other."""

    def __init__(self, true: TrueShop, chance: random.Random) -> None:
        self.true, self.chance, self.events = true, chance, deepcopy(demo_events())

    def about(self, name: str) -> float:
        """This boil's own value of a number."""
        value: float = getattr(self.true, name)
        return self.chance.gauss(value, abs(value) * self.true.scatter)

    def press(self, step: str, moment: float) -> None:
        """A step done at a moment, pressed some seconds off."""
        event = next(e for e in self.events if e.get("step") == step)
        event["happened"] = event["recorded"] = round(self.chance.gauss(moment, 10_000))

    def write(self, what: str, fixed: float, moment: float | None = None) -> None:
        """A reading at the record's own resolution."""
        event = next(e for e in self.events if e["body"].get("what") == what)
        body, record = event["body"], sheet()["records"][what]
        up, down = record["units"][body["unit"]]["factor"]
        body["n"] = round(fixed * down / up * body["d"])
        if moment is not None:
            event["happened"] = event["recorded"] = round(moment)

    def count(self, what: str, number: float) -> None:
        """All of it in one press."""
        found = [e for e in self.events if e["body"].get("what") == what and "add" in e["body"]]
        self.events = [e for e in self.events if e not in found[1:]]
        found[0]["body"]["add"] = round(number)

    def figures(self) -> dict[str, Any]:
        figures: dict[str, Any] = fold(sheet(), self.events)["figures"]
        return figures

    def cook(self) -> None:
        start, lasts = when("11:22:00"), self.chance.uniform(200_000, 280_000)
        gain = self.about("late_rise") * lasts / 15_000
        error = self.chance.gauss(self.true.thermometer, 200)
        self.write("boiling_water", self.figures()["water_boils"] + error)
        self.write("peak", 140_000 + gain, start + lasts)
        self.press("cook.at-140", start)
        self.press("cook.poured", start + lasts + 30_000)
        self.press("cook.light", when("10:55:00"))
        self.press("cut.last", when("10:55:00") + self.about("zone"))
        self.poured = start + lasts + 30_000

    def table(self) -> None:
        table = self.chance.uniform(26_000, 39_000)
        self.write("table_temperature", table)
        slower = 1 + 0.0125 * (table - 31_000) / 1000
        self.press("cool.turn", self.poured + self.about("table_plastic") * slower)
        self.press("hook.hang", when("11:36:00"))
        self.press("hook.pull", when("11:36:00") + self.about("pull_time"))
        more = 1 + 0.06 * self.figures()["overcook"] / 1000
        self.count("strokes", self.about("strokes") * more)
        self.press("block.check", when("11:54:00"))
        self.press("block.jacket", when("11:54:00") + self.about("close_time"))

    def log(self) -> None:
        figures = self.figures()
        left = sum(figures[f"{p['id']}_spare"] for p in sheet()["portions"] if p["stocked"])
        mass = figures["table_mass"] * (1 - self.about("table_loss") / 1e6) - left
        area = sum(part["area_um2"] for part in sheet()["parts"])
        density = sum(p["area_um2"] * self.density(p["portion"]) for p in sheet()["parts"]) / area
        length = self.chance.gauss(477_000, 3_000)
        girth = math.sqrt(4 * math.pi * mass * 1e15 / density / length)
        self.write("log_mass", mass)
        self.write("log_length", self.chance.gauss(length, 1_500))
        self.write("girth", self.chance.gauss(girth, 1_500))
        self.mass = mass

    def density(self, portion: str) -> float:
        kind = next(p["treatment"] for p in sheet()["portions"] if p["id"] == portion)
        return {"white": self.true.white_density, "light": 1_300_000, "clear": 1_450_000}[kind]

    def rods(self) -> None:
        head, tail = (self.mass * self.about(f"{end}_share") / 1e6 for end in ("head", "tail"))
        self.write("head", head)
        self.write("tail", tail)
        self.write("dust", (self.mass - head - tail) * self.about("dust_share") / 1e6)
        rods, first = self.chance.randint(32, 37), when("12:06:00")
        self.count("rods", rods)
        self.press("roller.point", first)
        self.press("roller.tail", first + rods * self.about("rod_interval"))


def _opening() -> Event:
    at = when("10:30:00")
    return {
        **{"device": "office0", "seq": 1, "v": 1, "batch": sheet()["batch"], "by": "maren"},
        **{"recorded": at, "happened": at, "known": "pressed", "within": 0, "offset": 0},
        **{"bound": 0, "hlc": [at, 0], "kind": "batch_opened", "signed": "desk"},
        "body": {"sheet": "0" * 64, "lead": "maren"},
    }
