"""Whether a shop with ten thousand boils behind it pays more for today's than one with ten."""

import sys
from pathlib import Path

from tests.bench.rows import Row
from tests.programs import beside

FEW, MANY = 10, 10_000
ASK = "from tests.bench.growing import measure\nanswer = measure({})"


def measure_growth(folder: Path) -> list[Row]:
    """The worst ratio of what pages and exchange cost, by processor time."""
    few, many = (beside(folder / str(n), ASK.format(n)) for n in (FEW, MANY))
    ratios = {name: many[name] / few[name] for name in few}
    worst = max(ratios, key=lambda name: ratios[name])
    print(f"bench: growth {ratios}", file=sys.stderr, flush=True)
    return [Row("growth_ratio", round(ratios[worst], 2), "x", budget=1.2)]
