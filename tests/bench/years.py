"""A hundred shops and three years of entries on one PostgreSQL: what grows, and what does not.

`python -m tests.bench.years [SHOPS [YEARS]]`, by itself and not in `manage.py bench`: it takes an
hour and some fifty gigabytes. Its figures stand in docs/growing.md.
"""

import json
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from tests.bench.load import herd
from tests.bench.rows import percentile
from tests.postgres import postgres_server
from tests.programs import beside, running

PHONES, PROCESSES = 2, 2
# Two boils on each of 250 days a year, as a busy shop has them.
BOILS_A_YEAR, MONTHS = 500, 12
WARM, SECONDS, RUSH = 5, 20, 5
RUN = "from tests.bench import years_fill as f\nanswer = f.{}"
# What one asks of a shop's past: its newest boils, an old record, all of a chain.
PAST = """
import time
from shop.store import batches, read
from shop.store.access import access_batch, access_shop
def took(work, times):
    found = []
    for _ in range(times):
        start = time.perf_counter(); work(); found.append((time.perf_counter() - start) * 1000)
    return round(sorted(found)[len(found) * 95 // 100 - 1], 1)
shop = access_shop("shop-007")
old = batches.batches(shop.id)[-1].key
answer = {
    "newest 50 boils, ms": took(lambda: batches.batches(shop.id, most=50), 40),
    "an old record, ms": took(lambda: read.batch_report(access_batch(shop.id, old)), 40),
    "a new phone's first pull, ms": took(lambda: read.pull(access_shop("shop-007"), 0, None), 40),
}
"""


def main() -> int:
    """Fills year by year; after each says what it measured, a JSON line."""
    shops, years = (int(word) for word in [*sys.argv[1:], "100", "3"][:2])
    settings = ("max_wal_size=8GB", "checkpoint_timeout=15min")
    with tempfile.TemporaryDirectory() as folder, postgres_server(*settings) as url:
        data = Path(folder)
        phones = _run(data, url, f"begin({shops}, {PHONES})")
        for year in range(years + 1):
            start = time.perf_counter()
            found = _year(data, url, year) if year else {}
            found |= {"filled in, s": round(time.perf_counter() - start)}
            found |= {**_run(data, url, "settle()"), **_live(data, url, phones), **_dump(url)}
            print(json.dumps({"years": year, "shops": shops, **found}), flush=True)
    return 0


def _run(data: Path, url: str, call: str) -> Any:
    hasty = f"{url}&options=-csynchronous_commit%3Doff"
    return beside(data, RUN.format(call), DATABASE_URL=hasty)


def _year(data: Path, url: str, year: int) -> dict[str, Any]:
    found: dict[str, Any] = {}
    each = BOILS_A_YEAR // MONTHS
    for month in range((year - 1) * MONTHS, year * MONTHS):
        found = _run(data, url, f"month({month * each + 1}, {(month + 1) * each})")
    return found


def _live(data: Path, url: str, phones: list[list[dict[str, Any]]]) -> dict[str, Any]:
    """A day's life at the end of all this: a phone of each shop, then as fast as they can."""
    each = [told for shop in phones for told in shop]
    processes = ("--processes", str(PROCESSES))
    with (
        running(data, "serve", *processes, DATABASE_URL=url) as program,
        herd(program.port, each) as crowd,
    ):
        pace = {"every": 2.0, "push_every": 20.0}
        crowd.do("live", seconds=WARM, **pace)
        took = crowd.do("live", seconds=SECONDS, **pace)["took"]
        rush = crowd.do("rush", seconds=RUSH)
    sent = _run(data, url, "sent()")
    for told in each:
        told["sent"] = sent[f"{told['shop']} {told['device']}"]
    return {
        "poll p95, ms": percentile(took["poll"], 0.95),
        "push p95, ms": percentile(took["push"], 0.95),
        "pushes a second": round(rush["pushes"] / rush["seconds"]),
        **beside(data, PAST, DATABASE_URL=url),
    }


def _dump(url: str) -> dict[str, Any]:
    """A whole dump, as a backup takes it."""
    start = time.perf_counter()
    command = ["pg_dump", "--format=custom", "--compress=1", url]
    with subprocess.Popen(command, stdout=subprocess.PIPE) as dump:
        assert dump.stdout is not None
        size = 0
        while piece := dump.stdout.read(1 << 20):
            size += len(piece)
    return {"dump, s": round(time.perf_counter() - start), "dump bytes": size}


if __name__ == "__main__":
    sys.exit(main())
