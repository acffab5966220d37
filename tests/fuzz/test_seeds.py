"""Every input that was kept, and some thousand changed ones: all decoders read or refuse them."""

import threading
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.fuzz.hunt import one_input
from tests.fuzz.keeping import SEEDS, seeds
from tests.fuzz.targets import TARGETS
from tests.fuzz.watch import Watch

# By what one input takes, so that all together take some seconds.
MANY = {"events": 100, "sheet": 150, "record": 60, "image": 3000, "reckon": 600}
MANY |= {"manifest": 400, "store-file": 400}
# Nothing here takes a thousandth of that: what does has hung.
HANGS_S = 120


@contextmanager
def watchdog() -> Iterator[None]:
    """Ends the process with all stacks where the block hangs: nothing inside could."""
    late = threading.Timer(HANGS_S, _hung)
    late.daemon = True
    late.start()
    yield
    late.cancel()


def _hung() -> None:
    import faulthandler
    import os

    faulthandler.dump_traceback()
    traceback.print_stack()
    os._exit(70)


def test_every_target_has_seeds_and_every_folder_a_target() -> None:
    assert {path.name for path in SEEDS.iterdir()} == set(TARGETS) == set(MANY)


@pytest.mark.parametrize("name", TARGETS)
def test_what_was_kept_holds(name: str) -> None:
    with watchdog():
        for data in seeds(name):
            TARGETS[name].feed(data)


@pytest.mark.parametrize("name", TARGETS)
def test_what_is_changed_a_little_holds(name: str, tmp_path: Path) -> None:
    found, watch = seeds(name), Watch(name, TARGETS[name].feed, tmp_path)
    with watchdog():
        for number in range(MANY[name]):
            watch.one(one_input(name, found, number))
    assert watch.figures.executions == MANY[name]
    assert watch.figures.faults == {}


@pytest.mark.long
@pytest.mark.parametrize("name", TARGETS)
def test_a_longer_hunt_finds_nothing(name: str, tmp_path: Path) -> None:
    from tests.fuzz.__main__ import hunt

    figures = hunt(name, tmp_path / name, 60)
    assert figures["executions"] > MANY[name]
    assert figures["faults"] == {}
    assert figures["stopped"] == 0
    # Once settled, as much as before but for what libFuzzer's corpus takes.
    assert figures["rss_end"] - (figures["rss_start"] or figures["rss_end"]) < 64
