"""A build of thirty parts by three hands, from section to schedule: rubble, stone on stone."""

import random
import time

import numpy as np
from ortools.sat.python import cp_model

from shop.picture.crew import Asked, Hand
from shop.picture.rests import resting
from shop.picture.schedule import built
from shop.picture.work import MM_PER_CELL, Job, Work
from shop.plan.numbers import shop_numbers
from tests.bench.rows import Row

ROWS, COLUMNS, WALLS = 6, 5, 6
WIDE_MM = 100
HANDS = tuple(Hand(name) for name in ("Maren", "Tobit", "Isolde"))


def measure_picture_schedule() -> list[Row]:
    """Seconds of the whole answer for the slowest of six walls; the floor: the bare solver once.

    `picture_schedule_gap`: the most seconds by which one of them may not be the best.
    """
    numbers = shop_numbers({})
    gaps, times = [], []
    for seed in range(WALLS):
        asked = Asked(_wall(seed), HANDS, numbers)
        start = time.perf_counter()
        gaps.append(built(asked)["gap_s"])
        times.append(time.perf_counter() - start)
    return [
        Row("picture_schedule_seconds", round(max(times), 2), "s", _bare(), budget=5.0),
        Row("picture_schedule_gap", max(gaps), "s"),
    ]


def _wall(seed: int) -> Job:
    """Rows of stones, each row of one height (6 to 20 mm), each stone of its own width."""
    draw = random.Random(seed)
    strips, thick = [], []
    for row in range(ROWS):
        high = draw.randint(6, 20)
        joints = sorted(draw.sample(range(2, WIDE_MM // 2), COLUMNS - 1))
        at = np.searchsorted(joints, np.arange(WIDE_MM) / 2, side="right")
        strips.append(np.tile(row * COLUMNS + 1 + at, (round(high / MM_PER_CELL), 1)))
        thick += [min(high, n) for n in np.bincount(at, minlength=COLUMNS).tolist()]
    cells = np.vstack(strips).repeat(round(1 / MM_PER_CELL), axis=1)
    found = resting(cells, MM_PER_CELL)
    return Job(
        tuple(
            _stone(n, thick[n - 1], found.stack_mm[n], found.rests_on[n], found.touches[n])
            for n in found.rests_on
        )
    )


def _stone(
    number: int, thick_mm: int, stack_mm: float, below: frozenset[int], beside: frozenset[int]
) -> Work:
    return Work(
        f"stone-{number}",
        f"Stone {number}",
        "white",
        "bar",
        21,
        31,
        thick_mm * 1000,
        max(thick_mm * 1000, round(stack_mm * 1000)),
        thick_mm * 10**7,
        frozenset(f"stone-{n}" for n in below),
        frozenset(f"stone-{n}" for n in beside),
    )


def _bare() -> float:
    """The solver on as many cuts and layings, three at a time, in any order."""
    model = cp_model.CpModel()
    ends, bars = model.new_int_var(0, 3_000, "end"), []
    for n in range(ROWS * COLUMNS):
        for span in (21, 31):
            start = model.new_int_var(0, 3_000, f"{n} {span}")
            bars.append(model.new_fixed_size_interval_var(start, span, f"{n} {span}"))
            model.add(start + span <= ends)
    model.add_cumulative(bars, [1] * len(bars), len(HANDS))
    model.minimize(ends)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.max_deterministic_time = 1, 2.0
    begun = time.perf_counter()
    solver.solve(model)
    return round(time.perf_counter() - begun, 3)
