"""Readings: which value stands for each thing that is written down."""

from typing import Any, TypeAlias

from shop.record.check import Sheet
from shop.record.live import Live
from shop.record.order import Event, actor, at, by_time, place, ref_of
from shop.record.progress import numbered
from shop.record.reading import fixed_value

Values: TypeAlias = dict[str, dict[str, Any]]


def fold_values(sheet: Sheet, live: Live) -> Values:
    """`what` or `what#nth` → the newest reading that was not corrected, by when it happened."""
    replaced = {e["body"]["instead_of"] for e in _corrections(live)}
    groups: dict[str, list[Event]] = {}
    for event in live.of("reading_taken"):
        if ref_of(event) not in replaced:
            groups.setdefault(numbered(event["body"]["what"], event.get("nth")), []).append(event)
    return {key: _value(sheet, events) for key, events in sorted(groups.items())}


def _corrections(live: Live) -> list[Event]:
    """Readings that replace an earlier one which is there."""
    readings = live.of("reading_taken")
    where = {ref_of(e): place(e) for e in readings}
    return [
        e
        for e in readings
        if (target := e["body"].get("instead_of", "")) in where and where[target] < place(e)
    ]


def _value(sheet: Sheet, events: list[Event]) -> dict[str, Any]:
    newest = max(events, key=by_time)
    body = newest["body"]
    record = sheet["records"][body["what"]]
    return {
        "value": fixed_value(record, body["unit"], body["n"], body["d"]),
        "at": at(newest),
        "by": actor(newest),
        "ref": ref_of(newest),
        "count": len(events),
        **{name: body[name] for name in ("n", "d", "unit", "instrument", "how")},
    }


def latest(values: Values) -> dict[str, int]:
    """Name of each record → its newest value [fixed unit], whichever repeat it belongs to."""
    newest: dict[str, tuple[int, str, int]] = {}
    for key, entry in values.items():
        what = key.split("#")[0]
        newest[what] = max(newest.get(what, (-1, "", 0)), (entry["at"], key, entry["value"]))
    return {what: value for what, (_, _, value) in newest.items()}


def two_corrections(live: Live) -> list[dict[str, Any]]:
    """One reading corrected twice by people who had not seen each other: a person must settle."""
    corrections = _corrections(live)
    replaced = {e["body"]["instead_of"] for e in corrections}
    by_target: dict[str, list[Event]] = {}
    for event in corrections:
        if ref_of(event) not in replaced:
            by_target.setdefault(event["body"]["instead_of"], []).append(event)
    return [
        {
            "kind": "two_corrections",
            "what": numbered(events[0]["body"]["what"], events[0].get("nth")),
            "refs": [ref_of(e) for e in events],
        }
        for _, events in sorted(by_target.items())
        if len(events) > 1
    ]
