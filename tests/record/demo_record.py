"""The invented boil's record, made without a store: from its sheet and entries alone."""

from functools import cache
from typing import Any

from shop.plan.canonical import canonical
from shop.record.exported import exported, linked, sheet_hash
from shop.record.fold import fold
from tests.lessons.simulated import demo_events as as_pressed
from tests.lessons.simulated import sheet

MASSES = ("head", "tail", "rejects", "dust", "trial", "retain")


def demo_events() -> list[dict[str, Any]]:
    """The invented day's entries, each handover taken naming the offer before it."""
    found, offer = [], ""
    for event in as_pressed():
        if event["kind"] == "handover_offered":
            offer = f"{event['device']}:{event['seq']}"
        body = dict(event["body"])
        if event["kind"] == "handover_taken":
            body["target"] = offer
        found.append({**event, "body": body})
    return found


def record_of(events: list[dict[str, Any]], melted: int = 0) -> dict[str, Any]:
    """The record of a boil of the invented sheet with these entries, and so much scrap [mg]."""
    name = sheet_hash(sheet())
    rows = [(canonical(e), e["recorded"] + 700, "") for e in events]
    entries = linked(name, rows)
    log = {"sheet": name, "entries": entries[-1]["link"] if entries else name}
    kept: dict[str, Any] = {
        "people": [],
        "entries": entries,
        "log": {**log, "position": 0, "head": ""},
    }
    if melted:
        kept["melted"] = [{"lot": "L6328A", "mg": melted}]
    return exported(sheet(), kept, fold(sheet(), events))


@cache
def demo_record() -> dict[str, Any]:
    """The invented boil's; callers must not change it."""
    return record_of(demo_events())


def weighed(grams: dict[str, int], bags: int | None = None) -> list[dict[str, Any]]:
    """The invented boil's entries with other weights, in grams, and another count of bags."""
    found = []
    for event in demo_events():
        body = dict(event["body"])
        if event["kind"] == "reading_taken" and body["what"] in grams:
            body |= {"n": grams[body["what"]], "d": 1, "unit": "g"}
        if bags is not None and body.get("what") == "bags":
            body["add"] = bags
        found.append({**event, "body": body})
    return found
