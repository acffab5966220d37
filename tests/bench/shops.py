"""Twenty shops on one PostgreSQL with two processes; and whether two hundred cost each one more.

Without TLS: where many shops share a server a proxy speaks it (docs/settings.md), and the rows of
`load` hold what it costs.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import psycopg

from tests.bench.bare_server import bare_server
from tests.bench.load import Herd, herd
from tests.bench.rows import Row, percentile
from tests.bench.spent import spent
from tests.postgres import postgres_server
from tests.programs import Program, beside, running

SHOPS, PHONES, PROCESSES = 20, 20, 2
WARM, SECONDS, EVERY, PUSH_EVERY = 6, 30, 2.0, 20.0
MANY, HISTORY, TURNS, AT_ONCE = 200, 10, 10, 200
FILL = "from tests.bench.filling import fill\nanswer = fill({}, {}, {})"
Phones = list[list[dict[str, Any]]]


def measure_shops(folder: Path) -> list[Row]:
    """Pushes of one press each, what a phone waits for, and the growth with the shops."""
    with postgres_server() as url:
        with _shops(folder / "twenty", _database(url, "twenty"), (SHOPS, PHONES, 0)) as (
            program,
            phones,
        ):
            everybody = [phone for shop in phones for phone in shop]
            with herd(program.port, everybody) as ours:
                found = _waits_and_pushes(ours)
        with (
            bare_server(_database(url, "bare"), processes=PROCESSES) as bare,
            herd(bare.port, everybody, bare=True) as bare_herd,
        ):
            floor = _waits_and_pushes(bare_herd)
        growth = _growth(folder, url)
    return [
        Row("postgres_push_per_second", found[1], "/s", floor[1]),
        Row("shops_20_p95", found[0], "ms", floor[0]),
        Row("shops_growth", growth, "x", budget=1.2),
    ]


def _waits_and_pushes(phones: Herd) -> tuple[float, float]:
    """95 of a hundred answers come within so many ms; pushes a second when nobody waits.

    One press to a push: a phone that has a network sends each press at once.
    """
    pace = {"every": EVERY, "push_every": PUSH_EVERY}
    phones.do("live", seconds=WARM, **pace)
    took = phones.do("live", seconds=SECONDS, **pace)["took"]
    rush = phones.do("rush", seconds=SECONDS / 2)
    wait = percentile([*took["poll"], *took["push"]], 0.95)
    return wait, round(rush["pushes"] / rush["seconds"], 1)


def _database(url: str, name: str) -> str:
    """The address of a new database of the same server."""
    with psycopg.connect(url, autocommit=True) as db:
        db.execute(f'CREATE DATABASE "{name}"')
    return url.replace("/kettleside?", f"/{name}?")


@contextmanager
def _shops(data: Path, url: str, size: tuple[int, int, int]) -> Iterator[tuple[Program, Phones]]:
    """The program at a store with so many shops, phones each, and events of each phone."""
    # Nothing waits for the disk while it is filled.
    hasty = f"{url}&options=-csynchronous_commit%3Doff"
    phones = beside(data, FILL.format(*size), DATABASE_URL=hasty)
    processes = ("--processes", str(PROCESSES))
    with running(data, "serve", *processes, DATABASE_URL=url) as program:
        yield program, phones


def _growth(folder: Path, url: str) -> float:
    """What a request costs where two hundred shops ask by turns, over one shop alone.

    The processor time of our processes and of PostgreSQL's, the dearest kind of request.
    """
    one, many = _database(url, "one"), _database(url, "many")
    with (
        _shops(folder / "one", one, (1, PHONES, HISTORY)) as (small, [few]),
        _shops(folder / "many", many, (MANY, PHONES, HISTORY)) as (large, shops),
        herd(small.port, few) as at_one,
        herd(large.port, [shop[0] for shop in shops]) as at_many,
    ):
        server = _postmaster(url)
        costs = _by_turns((at_one, small.process.pid, server), (at_many, large.process.pid, server))
    print(f"bench: seconds at one shop and at {MANY} {costs}", file=sys.stderr, flush=True)
    return round(max(many / one for one, many in costs.values()), 2)


def _by_turns(*sides: tuple[Herd, int, int]) -> dict[str, list[float]]:
    """Kind of request → seconds spent at each side; the first turn warms up and does not count."""
    for phones, *_ in sides:
        phones.do("in_turn", kind="push", times=AT_ONCE)
    costs = {kind: [0.0 for _ in sides] for kind in ("push", "poll", "news")}
    for _ in range(TURNS):
        for kind, each in costs.items():
            for n, (phones, *servers) in enumerate(sides):
                # Whoever has not heard of the last push would hear of it within what is counted.
                phones.do("settle")
                before = spent(*servers)
                phones.do("in_turn", kind=kind, times=AT_ONCE)
                each[n] += spent(*servers) - before
    return costs


def _postmaster(url: str) -> int:
    """The process all of PostgreSQL's come from."""
    with psycopg.connect(url) as db:
        row = db.execute("SELECT pg_backend_pid()").fetchone()
        assert row is not None
        fields = Path(f"/proc/{row[0]}/stat").read_text().rpartition(")")[2].split()
        return int(fields[1])
