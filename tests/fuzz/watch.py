"""Watching one target while it is fed: what broke, what was slow, what memory it took."""

import json
import os
import resource
import time
import traceback
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from hashlib import sha256
from pathlib import Path

ROOT = Path(__file__).parents[2]
PAGE = resource.getpagesize()
MEGABYTE = 2**20
# Settled: libraries are loaded and caches full.
SETTLED = 2_000

Feed = Callable[[bytes], None]


def rss_mb(pid: int | str = "self") -> float:
    """Resident memory of a process [MiB] (Linux, proc(5))."""
    pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    return round(pages * PAGE / MEGABYTE, 1)


@dataclass
class Figures:
    """What a hunt came to: `slowest_s` of one input, `rss` [MiB] once settled and at the end."""

    target: str
    executions: int = 0
    seconds: float = 0
    slowest_s: float = 0
    slowest: str = ""
    rss_start: float = 0
    rss_end: float = 0
    faults: dict[str, str] = field(default_factory=dict)


class Watch:
    """Feeds a target and goes on after a fault, keeping the smallest input of each kind."""

    def __init__(self, target: str, feed: Feed, into: Path) -> None:
        self.figures = Figures(target)
        self.feed = feed
        self.into = into
        self.sizes: dict[str, int] = {}
        self.began = self.told = time.monotonic()
        into.mkdir(parents=True, exist_ok=True)

    def one(self, data: bytes) -> None:
        """One input; a fault is kept, not raised."""
        started = time.monotonic()
        try:
            self.feed(data)
        except Exception as fault:
            self._keep(data, fault)
        now = time.monotonic()
        self._count(data, now - started)
        if now - self.told > 1:
            self.tell(now)

    def _count(self, data: bytes, seconds: float) -> None:
        figures = self.figures
        figures.executions += 1
        if figures.executions == SETTLED:
            figures.rss_start = rss_mb()
        if seconds > figures.slowest_s:
            figures.slowest_s = round(seconds, 4)
            figures.slowest = sha256(data).hexdigest()[:12]
            (self.into / "slowest").write_bytes(data)

    def _keep(self, data: bytes, fault: Exception) -> None:
        name = signature(fault)
        if len(data) < self.sizes.get(name, len(data) + 1):
            self.sizes[name] = len(data)
            self.figures.faults[name] = str(fault)[:200]
            short = sha256(name.encode()).hexdigest()[:12]
            (self.into / f"fault-{short}").write_bytes(data)
            said = "".join(traceback.format_exception(fault)[-12:])
            (self.into / f"fault-{short}.txt").write_text(f"{name}\n{said}", errors="replace")

    def tell(self, now: float) -> None:
        """The figures so far, in a file: the hunting process may be ended at any moment."""
        self.told = now
        self.figures.seconds = round(now - self.began, 1)
        self.figures.rss_end = rss_mb()
        draft = self.into / f".figures-{os.getpid()}"
        draft.write_text(json.dumps(asdict(self.figures), indent=1))
        draft.replace(self.into / "figures.json")


def signature(fault: BaseException) -> str:
    """What kind of fault it is: its type, and the last place in this checkout it went through."""
    ours = [
        frame
        for frame in traceback.extract_tb(fault.__traceback__)
        if Path(frame.filename).is_relative_to(ROOT)
    ]
    last = ours[-1] if ours else None
    where = f"{Path(last.filename).relative_to(ROOT)}:{last.lineno}" if last else "elsewhere"
    return f"{type(fault).__name__} at {where}"
