"""`python -m tests.stories` walks every story and prints the page's table of times, not a test.

The machine's seconds are those of this run; the hand's follow from the presses by keystrokes.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.stories.conftest import WALKED, Walk
from tests.stories.keystrokes import hand_seconds

# Seconds that each story may take, from when what it asks for is entered or in sight; of those in
# MACHINE nobody's hands are part.
ASKED = {
    **{1: 2, 2: 3, 3: 5, 4: 3, 5: 120, 6: 1, 7: 2, 8: 3, 9: 120, 10: 5, 11: 3, 12: 3},
    **{14: 15, 15: 30, 16: 3, 17: 60, 18: 2, 20: 10, 21: 60, 23: 1, 24: 60, 25: 10},
}
MACHINE = {6, 18, 23}


class Walks:
    """Keeps what was walked when the run ends."""

    def __init__(self) -> None:
        self.walked: list[Walk] = []

    def pytest_unconfigure(self, config: pytest.Config) -> None:
        self.walked = config.stash.get(WALKED, [])


def line(walk: Walk) -> str:
    """A line of the table."""
    number, machine, hand = walk.row.number, walk.seconds, hand_seconds(walk.figures)
    asked = ASKED.get(number)
    both = round(machine, 1) + (0 if number in MACHINE else round(hand, 1))
    named = "–" if asked is None else f"{asked} s{', the machine' if number in MACHINE else ''}"
    within = "–" if asked is None else "yes" if both <= asked else "no"
    return f"| {number} | {named} | {machine:.1f} | {hand:.1f} | {both:.1f} | {within} |"


def main() -> int:
    walks = Walks()
    ended = pytest.main(["-q", "-n0", str(Path(__file__).parent)], plugins=[walks])
    found = sorted(walks.walked, key=lambda walk: walk.row.number)
    for walk in found:
        if walk.figures != walk.row.figures:
            seen = "<br>".join(f"{name}: {value}" for name, value in walk.figures.items())
            print(f"{walk.row.number} was seen otherwise: {seen}")
    print("| no. | asked | machine, s | hand, s | both, s | within |")
    print("| --- | --- | --- | --- | --- | --- |")
    print("\n".join(line(walk) for walk in found))
    return int(ended)


if __name__ == "__main__":
    sys.exit(main())
