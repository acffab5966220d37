"""docs/stories.md is true: every story once, every test there, every figure measured by a walk."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.programs import ROOT
from tests.stories.keystrokes import hand_seconds
from tests.stories.table import Took, row_of, rows, took

OWN = "tests/stories/"
STORIES = range(1, 26)


@pytest.fixture(scope="module")
def collected() -> set[str]:
    """Ids of the tests in the files that the page names, as pytest finds them, longer hunts too."""
    files = sorted({test.partition("::")[0] for row in rows() for test in row.proofs})
    asked = [sys.executable, "-m", "pytest", "--collect-only", "-q", "-n0", "--long", *files]
    done = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    return {line.partition("[")[0] for line in done.stdout.splitlines() if "::" in line}


def test_every_story_is_there_once() -> None:
    assert [row.number for row in rows()] == [*STORIES]
    assert [line.number for line in took()] == [*STORIES]


def test_every_test_that_is_named_exists(collected: set[str]) -> None:
    named = [test for row in rows() for test in row.proofs]
    assert [test for test in named if test not in collected] == []


def test_every_story_has_one_walk_and_no_walk_is_without_a_story(collected: set[str]) -> None:
    """A walk compares what it measured with its story's figures, all of them, when it ends."""
    for row in rows():
        [walk] = [test for test in row.proofs if test in walks()]
        assert row_of(walk) == row
        assert row.figures
    assert {test for row in rows() for test in row.proofs} >= walks()
    assert walks() <= collected


def walks() -> set[str]:
    """Tests of this folder that ask for the fixture which holds them to the page."""
    found = set()
    for path in (ROOT / OWN).glob("test_*.py"):
        text = path.read_text("utf-8")
        for part in text.split("\ndef ")[1:]:
            name, _, rest = part.partition("(")
            if name.startswith("test_") and "walk: Walk" in rest.partition("-> None")[0]:
                found.add(f"{OWN}{path.name}::{name}")
    return found


def test_everybody_is_told_what_is_not_proved() -> None:
    assert [row.number for row in rows() if not row.not_proved] == []


@pytest.mark.parametrize("line", took(), ids=lambda line: str(line.number))
def test_times_add_up(line: Took) -> None:
    [row] = [row for row in rows() if row.number == line.number]
    assert line.hand == pytest.approx(hand_seconds(row.figures), abs=0.051)
    assert line.both == pytest.approx(line.machine + (0 if line.alone else line.hand))
    asked = line.asked
    assert line.within == ("–" if asked is None else "yes" if line.both <= asked else "no")
