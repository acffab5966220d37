"""docs/stories.md as data: what each story is proved by, figures seen, how long it takes."""

from __future__ import annotations

import re
from dataclasses import dataclass

from tests.programs import ROOT

PAGE = ROOT / "docs" / "stories.md"
HEAD = {"figures": "| no. | the story", "times": "| no. | asked"}


@dataclass(frozen=True, slots=True)
class Row:
    """One story: its number, ids of its tests, `{figure: value}` and what a hand still proves."""

    number: int
    story: str
    who: str
    proofs: tuple[str, ...]
    figures: dict[str, str]
    not_proved: str


@dataclass(frozen=True, slots=True)
class Took:
    """Seconds: asked for, the machine's as last measured, the hand's as reckoned, both.

    `alone`: what is asked for is the machine's part by itself.
    """

    number: int
    asked: float | None
    alone: bool
    machine: float
    hand: float
    both: float
    within: str


def rows() -> list[Row]:
    """The stories as they stand in the page."""
    return [_row(*cells) for cells in _cells("figures")]


def row_of(test: str) -> Row:
    """The story that names this test; LookupError where none or several do."""
    found = [row for row in rows() if test in row.proofs]
    if len(found) != 1:
        raise LookupError(f"{test} stands in {len(found)} stories of {PAGE.name}, not in one")
    return found[0]


def took() -> list[Took]:
    """The table of times."""
    return [_took(*cells) for cells in _cells("times")]


def _cells(which: str) -> list[list[str]]:
    lines = PAGE.read_text("utf-8").splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith(HEAD[which])) + 2
    table = []
    for line in lines[start:]:
        if not line.startswith("|"):
            break
        table.append([cell.strip() for cell in line.strip("|").split("|")])
    return table


def _row(number: str, story: str, who: str, proofs: str, figures: str, hand: str) -> Row:
    pairs = [figure.partition(": ")[::2] for figure in figures.split("<br>") if figure]
    ids = tuple(re.findall(r"`([^`]+)`", proofs))
    return Row(int(number), story, who, ids, dict(pairs), hand)


def _took(number: str, asked: str, machine: str, hand: str, both: str, within: str) -> Took:
    wanted = float(asked.split()[0]) if asked != "–" else None
    alone = asked.endswith("the machine")
    return Took(int(number), wanted, alone, float(machine), float(hand), float(both), within)
