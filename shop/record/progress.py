"""Steps: done, passed, reopened; what they leave owed; the moments they mark."""

from typing import Any, TypeAlias

from shop.record.check import Sheet
from shop.record.live import Live
from shop.record.order import Event, actor, at, by_time, place, ref_of

Steps: TypeAlias = dict[str, dict[str, Any]]


def key_of(event: Event) -> str:
    """`step`, or `step#nth` for a step that repeats."""
    return numbered(event["step"], event.get("nth"))


def numbered(name: str, nth: int | None) -> str:
    """`name`, or `name#nth`."""
    return f"{name}#{nth}" if nth else name


def fold_steps(live: Live) -> Steps:
    """State of every step that was ever touched."""
    return {key: _one(events) for key, events in sorted(_by_key(live).items())}


def _by_key(live: Live) -> dict[str, list[Event]]:
    found: dict[str, list[Event]] = {}
    for event in live.of("step_done", "step_passed", "step_undone"):
        found.setdefault(key_of(event), []).append(event)
    return found


def _one(events: list[Event]) -> dict[str, Any]:
    counting = _counting(events)
    if not counting:
        return _entry(events_undone(events)[-1], "reopened", [])
    kind = "step_done" if any(e["kind"] == "step_done" for e in counting) else "step_passed"
    first, *others = sorted((e for e in counting if e["kind"] == kind), key=by_time)
    return _entry(first, "done" if kind == "step_done" else "passed", others)


def events_undone(events: list[Event]) -> list[Event]:
    """The reopenings among a step's events, in order."""
    return [e for e in events if e["kind"] == "step_undone"]


def _counting(events: list[Event]) -> list[Event]:
    """Dones and passes that had seen the newest reopening: reopened wins over an unseen done."""
    undone = events_undone(events)
    finished = [e for e in events if e["kind"] != "step_undone"]
    return [e for e in finished if _saw(e, undone[-1])] if undone else finished


def _saw(event: Event, undone: Event) -> bool:
    same = event["device"] == undone["device"] and event["seq"] > undone["seq"]
    return same or bool(event["body"].get("after", "") == ref_of(undone))


def _entry(event: Event, state: str, others: list[Event]) -> dict[str, Any]:
    return {
        "state": state,
        "at": at(event),
        "by": actor(event),
        "recorded": event["recorded"] + (event["offset"] or 0),
        "known": event["known"],
        "ref": ref_of(event),
        "reason": event["body"].get("reason", ""),
        "also": [{"by": actor(e), "at": at(e), "ref": ref_of(e)} for e in others],
    }


def reopened_unseen(live: Live) -> list[dict[str, Any]]:
    """A step reopened by one person and done by another who had not seen that."""
    found = []
    for key, events in sorted(_by_key(live).items()):
        undone = events_undone(events)
        if not undone or _counting(events):
            continue
        unseen = [e for e in events if place(e) > place(undone[-1])]
        if unseen:
            refs = [ref_of(undone[-1]), *(ref_of(e) for e in unseen)]
            found.append({"kind": "done_or_reopened", "what": key, "refs": refs})
    return found


def moments(sheet: Sheet, steps: Steps) -> dict[str, int]:
    """Name → when [time] the step that marks it was done."""
    return {
        sheet["steps"][key]["moment"]: step["at"]
        for key, step in steps.items()
        if step["state"] == "done" and "#" not in key and sheet["steps"][key]["moment"]
    }


def dropped(live: Live) -> list[str]:
    """Steps taken off this batch's sheet, in alphabetical order."""
    last = {e["step"]: e["body"]["change"] for e in live.of("sheet_amended")}
    return sorted(step for step, change in last.items() if change == "drop")


def owed(
    sheet: Sheet, live: Live, steps: Steps, values: dict[str, dict[str, Any]]
) -> list[dict[str, Any]]:
    """Readings that finished steps still lack, then what people added; less what was paid."""
    paid = {e["body"]["key"] for e in live.of("owed_paid")}
    ever = {key.split("#")[0] for key in values}
    entries = [
        _owed(f"{key}:{what}", step["at"], step["by"], step=key, what=what)
        for key, step in steps.items()
        if step["state"] != "reopened"
        for what in sheet["steps"][key.split("#")[0]]["record"]
        if (numbered(what, _nth(key)) not in values if _nth(key) else what not in ever)
    ]
    entries += [
        _owed(ref_of(e), at(e), actor(e), **_in_words(e["body"])) for e in live.of("owed_added")
    ]
    return [entry for entry in entries if entry["key"] not in paid]


def _in_words(body: dict[str, Any]) -> dict[str, str]:
    return {"text": body["text"], "because": body.get("because", "")}


def _nth(key: str) -> int | None:
    return int(key.split("#")[1]) if "#" in key else None


def _owed(
    key: str, since: int, by: str, step: str = "", what: str = "", text: str = "", because: str = ""
) -> dict[str, Any]:
    said = {"step": step, "what": what, "text": text, "because": because}
    return {"key": key, **said, "since": since, "by": by}
