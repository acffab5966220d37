"""How well plans foretold: each figure as its sheet had it when frozen, against what happened.

An error is counted in halves of the range the sheet stated: within ± 1 it kept its word, and 95
of 100 should.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from statistics import mean, median, variance
from typing import Any

from shop.lessons.boil import Boil
from shop.lessons.errors import LeftOut
from shop.plan.evaluate import evaluate
from shop.plan.whole import half_up

PPM = 1_000_000
NOTHING: dict[str, dict[str, int]] = {"latest": {}, "moments": {}, "tallies": {}}
ROLLING, FEWEST = 10, 6


@dataclass(frozen=True, slots=True)
class Score:
    """A figure foretold and come true [its fixed unit], and the half of its stated range."""

    figure: str
    says: str
    unit: str
    foretold: int
    half: int
    came: int

    @property
    def error(self) -> float:
        """How far off, in halves of the stated range."""
        return (self.came - self.foretold) / self.half


def _packed(boil: Boil) -> float:
    return boil.counted("bags") * boil.read("bag_mass").value


def _log_density(boil: Boil) -> float:
    mass, length, girth = (boil.read(what).value for what in ("log_mass", "log_length", "girth"))
    return mass * 4 * math.pi / (length * girth**2) * 1e15


CAME: dict[str, Callable[[Boil], float]] = {
    "plastic_in": lambda boil: boil.took("cook.poured", "cool.turn").value,
    "strokes": lambda boil: boil.counted("strokes"),
    "log_mass_forecast": lambda boil: boil.read("log_mass").value,
    "log_length_forecast": lambda boil: boil.read("log_length").value,
    "log_diameter": lambda boil: boil.read("girth").value / math.pi,
    "mean_density": _log_density,
    "rods": lambda boil: boil.counted("rods"),
    "drawing": lambda boil: boil.took("roller.point", "roller.tail").value,
    "net_mass": _packed,
    "packs": lambda boil: boil.counted("bags"),
}


def scores(sheet: Mapping[str, Any], state: Mapping[str, Any]) -> list[Score]:
    """What the sheet foretold before anybody lit a kettle, beside what came; only what was seen."""
    plan = evaluate(sheet["graph"], NOTHING)
    boil, by_name = Boil(sheet, state), {q["name"]: q for q in sheet["graph"]}
    found = []
    for figure, came in CAME.items():
        foretold = plan.get(figure)
        half = half_up(abs(foretold or 0) * by_name.get(figure, {"spread": 0})["spread"], PPM)
        if not foretold or not half:
            continue
        try:
            seen = round(came(boil))
        except LeftOut:
            continue
        words = by_name[figure]
        found.append(Score(figure, words["says"], words["unit"], foretold, half, seen))
    return found


@dataclass(frozen=True, slots=True)
class Record:
    """How the plans did: `kept` of `of` figures within their range, and the way it went.

    `course`: the middle error of each boil, in halves of the stated range, oldest first.
    `rolling`: the mean of up to ten of them. `trend`: newest ten less those before, and its
    standard error; None while either has too few.
    """

    kept: int
    of: int
    course: tuple[float, ...]
    rolling: tuple[float, ...]
    trend: tuple[float, float] | None


def record_of(boils: Sequence[Sequence[Score]]) -> Record:
    """The record of these boils, oldest first; a boil of which nothing was seen does not count."""
    errors = [[abs(score.error) for score in boil] for boil in boils if boil]
    course = [median(one) for one in errors]
    kept = sum(error <= 1 for boil in errors for error in boil)
    ends = range(1, len(course) + 1)
    rolling = [mean(course[max(0, end - ROLLING) : end]) for end in ends]
    of = sum(len(boil) for boil in errors)
    return Record(kept, of, tuple(course), tuple(rolling), _trend(course))


def _trend(course: list[float]) -> tuple[float, float] | None:
    new, old = course[-ROLLING:], course[-2 * ROLLING : -ROLLING]
    if min(len(new), len(old)) < FEWEST:
        return None
    noise = [variance(part) / len(part) for part in (new, old)]
    return mean(new) - mean(old), math.sqrt(sum(noise))
