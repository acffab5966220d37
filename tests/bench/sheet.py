"""A whole sheet, from order and picture, on warm imports: the demo's, and one of forty parts."""

import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from scipy.linalg import solve_banded

from shop.craft.conduction import CELLS
from shop.demo.scenario import PICTURE, demo_sheet
from shop.plan.sheet import COOLING_STEPS
from tests.bench.rows import Row, percentile

TIMES, PARTS = 20, 40


def measure_sheet() -> list[Row]:
    """Seconds for each; the floor of the large one is its cooling as bare numpy and scipy."""
    parts = tuple(
        replace(PICTURE.parts[0], id=f"part-{i}", area_um2=10**6, narrowest_um=3_000 + 500 * i)
        for i in range(PARTS - len(PICTURE.parts))
    )
    large = replace(PICTURE, parts=(*PICTURE.parts, *parts))
    small = _seconds(lambda: demo_sheet("demo-planned"))
    forty = _seconds(lambda: demo_sheet("demo-planned", large))
    return [
        Row("sheet_seconds", small, "s", budget=0.3),
        Row("sheet_40_parts_seconds", forty, "s", _seconds(_bare_cooling), budget=0.3),
    ]


def _seconds(work: Callable[[], object]) -> float:
    work()
    times = []
    for _ in range(TIMES):
        start = time.perf_counter()
        work()
        times.append((time.perf_counter() - start) * 1000)
    return round(percentile(times, 0.95) / 1000, 3)


def _bare_cooling() -> None:
    """As many tridiagonal solves of the same size as two rounds of cooling forty parts take."""
    size = PARTS * (CELLS + 1)
    banded = np.stack([np.full(size, -1.0), np.full(size, 4.0), np.full(size, -1.0)])
    values = np.ones(size)
    for _ in range(2 * COOLING_STEPS):
        values = solve_banded((1, 1), banded, values) * 2
