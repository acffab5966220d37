"""Histories that a hunt for events found, folded here and in the browser: the same bytes, and the
same lines taken for events."""

import json
from collections.abc import Iterable
from typing import Any

from playwright.sync_api import Page

from shop.plan.canonical import canonical
from shop.record.check import decode
from shop.record.errors import NotAnEvent
from shop.record.fold import fold
from tests.fuzz.decoders import SHEET, once, text_of
from tests.record.conftest import in_browser

AT_ONCE = 250
FOLD = """return given.histories.map((lines) => {
  try { return canonical.canonical(fold.fold(given.sheet, lines.map((line) => JSON.parse(line)))); }
  catch (fault) { return String(fault); }
});"""
TAKEN = "return given.map((line) => envelope.eventOn(line) !== null);"


def unlike(page: Page, inputs: Iterable[bytes]) -> list[str]:
    """What the two sides make differently of these inputs, in short; empty where nothing is."""
    texts = [text for data in inputs if (text := text_of(data)) is not None]
    found: list[str] = []
    for first in range(0, len(texts), AT_ONCE):
        some = [text.split("\n") for text in texts[first : first + AT_ONCE]]
        found += _unlike_folds(page, [_sound(lines) for lines in some])
        found += _unlike_events(page, sorted({line for lines in some for line in lines}))
    return found


def _unlike_folds(page: Page, histories: list[list[str]]) -> list[str]:
    given = {"sheet": SHEET, "histories": histories}
    there = in_browser(page, FOLD, given)
    here = [canonical(fold(SHEET, [json.loads(line) for line in lines])) for lines in histories]
    return [
        f"{a[:300]} | {b[:300]} | {_first_difference(a, b)} | {lines}"
        for a, b, lines in zip(here, there, histories, strict=True)
        if a != b
    ]


def _first_difference(one: str, other: str) -> str:
    at = next((n for n, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), 0)
    return f"{one[max(0, at - 60) : at + 60]!r} <> {other[max(0, at - 60) : at + 60]!r}"


def _unlike_events(page: Page, lines: list[str]) -> list[str]:
    """A phone takes a line from another exactly where the shop would, and it is canonical."""
    there = in_browser(page, TAKEN, lines, "envelope")
    return [line for line, taken in zip(lines, there, strict=True) if taken != _is_taken(line)]


def _is_taken(line: str) -> bool:
    try:
        return canonical(decode(line)) == line
    except (NotAnEvent, TypeError):
        return False


def _sound(lines: list[str]) -> list[str]:
    """The lines that are events, each number once, as the log has it."""
    found: list[tuple[dict[str, Any], str]] = []
    for line in lines:
        try:
            found.append((decode(line), line))
        except NotAnEvent:
            continue
    last = {(event["device"], event["seq"]): line for event, line in found}
    return [last[event["device"], event["seq"]] for event in once([event for event, _ in found])]
