"""Whether a shop with ten thousand boils behind it pays more for today's than one with ten."""

import json
import subprocess
import sys
from pathlib import Path

from tests.bench.rows import Row
from tests.programs import ROOT, environment

FEW, MANY = 10, 10_000


def measure_growth(folder: Path) -> list[Row]:
    """The worst ratio of what pages and exchange cost, by processor time."""
    few, many = (_costs(folder / str(n), n) for n in (FEW, MANY))
    ratios = {name: many[name] / few[name] for name in few}
    worst = max(ratios, key=lambda name: ratios[name])
    print(f"bench: growth {ratios}", file=sys.stderr, flush=True)
    return [Row("growth_ratio", round(ratios[worst], 2), "x", budget=1.2)]


def _costs(data: Path, batches: int) -> dict[str, float]:
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.growing", str(batches)],
        cwd=ROOT,
        env={
            **environment(data),
            "KETTLESIDE_SHOP": "demo",
            "DJANGO_SETTINGS_MODULE": "shop.settings",
        },
        capture_output=True,
        text=True,
        check=True,
    )
    found: dict[str, float] = json.loads(done.stdout)
    return found
