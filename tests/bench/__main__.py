"""`manage.py bench [--json] [--peer]`: each figure beside a floor measured in the same run.

`--peer` also sends the same events through a general-purpose sync engine; it needs Node and npm.
"""

import json
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.bench.app import measure_first_load, measure_offline, measure_taps
from tests.bench.burn import measure_burn
from tests.bench.exchange import measure_exchange
from tests.bench.growth import measure_growth
from tests.bench.live import (
    measure_catch_up,
    measure_freshness,
    measure_poll_bytes,
    measure_polls,
)
from tests.bench.load import measure_phones
from tests.bench.office import measure_office
from tests.bench.peer import measure_peer
from tests.bench.picture import measure_picture
from tests.bench.picture_schedule import measure_picture_schedule
from tests.bench.rows import Row, as_line, as_table
from tests.bench.sheet import measure_sheet
from tests.bench.shops import measure_shops
from tests.programs import running


def measure() -> Iterator[Row]:
    """Every row of the bench, each as it is measured."""
    yield from measure_sheet()
    say("pictures")
    yield from measure_picture()
    yield from measure_picture_schedule()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        with running(Path(folder) / "data", "demo") as program:
            say("first load")
            yield from measure_first_load(playwright, program)
            say("presses, about eight minutes")
            yield from measure_taps(playwright, program)
            yield from measure_burn(playwright, program)
            say("10,000 events")
            yield from measure_exchange(program)
            yield from measure_polls(program)
            say("what phones get of each other, about two minutes")
            yield from measure_freshness(playwright, program)
            yield from measure_catch_up(playwright, program)
        yield from measure_poll_bytes(playwright, Path(folder))
        say("starts without a network")
        yield from measure_offline(playwright)
    with tempfile.TemporaryDirectory() as folder:
        say("ten thousand old boils, about a minute")
        yield from measure_growth(Path(folder))
    with tempfile.TemporaryDirectory() as folder:
        say("every page of the office with two million entries, about a minute")
        yield from measure_office(Path(folder))
    with tempfile.TemporaryDirectory() as folder:
        say("a hundred phones, about two minutes")
        yield from measure_phones(Path(folder))
    with tempfile.TemporaryDirectory() as folder:
        say("twenty shops on PostgreSQL, then two hundred, about six minutes")
        yield from measure_shops(Path(folder))


def say(words: str) -> None:
    """Progress and rows as they come, on standard error."""
    print(f"bench: {words}", file=sys.stderr, flush=True)


def main() -> int:
    """Prints the rows, each also as it comes; the exit code says whether every budget was kept."""
    rows = []
    for row in measure():
        say(as_line(row))
        rows.append(row)
    if "--peer" in sys.argv:
        say("a general-purpose sync engine")
        rows += measure_peer(rows)
    if "--json" in sys.argv:
        print(json.dumps({"rows": [row.as_json() for row in rows]}, indent=1))
    else:
        print(as_table(rows))
    return 0 if all(row.within is not False for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
