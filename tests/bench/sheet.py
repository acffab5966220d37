"""A whole sheet, from order and picture, on warm imports: the demo's, and one of forty parts."""

import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np
from scipy.linalg import solve_banded

from shop.craft.conduction import CELLS
from shop.demo.scenario import PICTURE, demo_sheet
from shop.plan.picture import Picture
from shop.plan.sheet_picture import COOLING_STEPS
from tests.bench.rows import Row, percentile

TIMES, PARTS, MANY = 20, 40, 160


def measure_sheet() -> list[Row]:
    """Seconds for each; the floor of the large ones is their cooling as bare numpy and scipy.

    `sheet_growth` is the cost of four times the parts: 4 or less is linear.
    """
    small = _seconds(lambda: demo_sheet("demo-planned"))
    forty, many = (
        _seconds(partial(demo_sheet, "demo-planned", _picture_of(n))) for n in (PARTS, MANY)
    )
    bare, bare_many = (_seconds(partial(_bare_cooling, n)) for n in (PARTS, MANY))
    return [
        Row("sheet_seconds", small, "s", budget=0.3),
        Row("sheet_40_parts_seconds", forty, "s", bare, budget=0.3),
        Row("sheet_growth", round(many / forty, 2), "x", round(bare_many / bare, 2), budget=4.0),
    ]


def _picture_of(parts: int) -> Picture:
    """The demo's picture with as many parts more as it takes."""
    more = tuple(
        replace(PICTURE.parts[0], id=f"part-{i}", area_um2=10**6, narrowest_um=3_000 + 100 * i)
        for i in range(parts - len(PICTURE.parts))
    )
    return replace(PICTURE, parts=(*PICTURE.parts, *more))


def _seconds(work: Callable[[], object]) -> float:
    work()
    times = []
    for _ in range(TIMES):
        start = time.perf_counter()
        work()
        times.append((time.perf_counter() - start) * 1000)
    return round(percentile(times, 0.95) / 1000, 3)


def _bare_cooling(parts: int) -> None:
    """As many tridiagonal solves of the same size as two rounds of cooling so many parts take."""
    size = parts * (CELLS + 1)
    banded = np.stack([np.full(size, -1.0), np.full(size, 4.0), np.full(size, -1.0)])
    values = np.ones(size)
    for _ in range(2 * COOLING_STEPS):
        values = solve_banded((1, 1), banded, values) * 2
