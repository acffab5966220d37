"""A hundred phones at one shop, over TLS, as `serve --lan` serves them."""

import json
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.bench.bare_server import bare_server
from tests.bench.rows import Row, percentile
from tests.bench.shop import add_phones
from tests.bench.spent import spent
from tests.programs import ROOT, free_port, running

PHONES, SECONDS, WARM, EVERY, PUSH_EVERY = 100, 45, 6, 1.0, 20.0
LINES = 200


@dataclass(frozen=True)
class Herd:
    """The phones' process."""

    process: subprocess.Popen[str]

    def do(self, what: str, **how: Any) -> dict[str, Any]:
        """Let them do it, and what it came to. Raises where an answer was not as it must be."""
        stdin = self.process.stdin
        assert stdin is not None
        stdin.write(json.dumps({"do": what, **how}) + "\n")
        stdin.flush()
        found: dict[str, Any] = json.loads(self.line())
        return found

    def line(self) -> str:
        stdout = self.process.stdout
        assert stdout is not None
        if not (line := stdout.readline()):
            raise RuntimeError("the phones' process ended; its last words are above")
        return line


@contextmanager
def herd(
    port: int, phones: Sequence[dict[str, Any]], *, root: Path | None = None, bare: bool = False
) -> Iterator[Herd]:
    """Phones that are connected and know all there is; over TLS where `root` is to be trusted."""
    command = [sys.executable, "-m", "tests.bench.herd"]
    pipe = subprocess.PIPE
    told = {"port": port, "phones": phones, "lines": LINES, "bare": bare}
    process = subprocess.Popen(command, cwd=ROOT, stdin=pipe, stdout=pipe, text=True)
    made = Herd(process)
    try:
        assert process.stdin is not None
        process.stdin.write(json.dumps({**told, "root": str(root) if root else None}) + "\n")
        process.stdin.flush()
        made.line()
        yield made
    finally:
        process.kill()
        process.communicate()


@dataclass(frozen=True)
class Lived:
    """What a while with phones came to: time [ms] of every answer, share of one core, polls."""

    took: list[float]
    share: float
    news: int


def measure_phones(folder: Path) -> list[Row]:
    """How long a phone waits, and what of one core a hundred of them take."""
    lan = ("--lan", "--no-announce", "--host", "sugar-loft.local")
    first = ("--first-visit-port", str(free_port()))
    data = folder / "phones"
    with running(data, "demo", *lan, *first) as program:
        phones = add_phones(data, PHONES)
        root = data / "authority" / "root.pem"
        with herd(program.port, phones, root=root) as ours:
            found = _live(ours, program.process.pid)
    if not found.news:
        raise RuntimeError("no poll brought news")
    database = str(data / "bare.sqlite3")
    with (
        bare_server(database, authority=data / "authority") as bare,
        herd(bare.port, phones, root=root, bare=True) as bare_herd,
    ):
        floor = _live(bare_herd, bare.pid)
    waits = [percentile(lived.took, 0.95) for lived in (found, floor)]
    shares = [round(lived.share, 3) for lived in (found, floor)]
    return [
        Row("phones_100_p95", waits[0], "ms", waits[1], budget=25),
        Row("phones_100_core_share", shares[0], "core", shares[1], budget=0.3),
    ]


def _live(phones: Herd, server: int) -> Lived:
    pace = {"every": EVERY, "push_every": PUSH_EVERY}
    warm = phones.do("live", seconds=WARM, **pace)
    before, start = spent(server), time.perf_counter()
    found = phones.do("live", seconds=SECONDS, **pace)
    share = (spent(server) - before) / (time.perf_counter() - start)
    took = [*found["took"]["poll"], *found["took"]["push"]]
    return Lived(took, share, found["news"] - warm["news"])
