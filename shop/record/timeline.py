"""Who did what when: stretches of work by person and station, side by side."""

from collections.abc import Mapping
from typing import Any

from shop.record.check import Sheet
from shop.record.live import Live
from shop.record.order import Event, actor, at, in_order, ref_of
from shop.record.passing import passes_on
from shop.record.steps import State
from shop.sentences import Sentence

Line = dict[str, Any]
# A pause that ends a stretch: nobody says where they are in between.
PAUSE_MS = 15 * 60_000
NOWHERE = Sentence("no station")
# Said about the boil as a whole, or by a phone: no work at a station.
NO_WORK = ("batch_opened", "seen", "struck", "step_undone", "sheet_amended", "crew_changed")


def timeline(
    sheet: Sheet, events: list[Event], state: State, names: Mapping[str, str]
) -> dict[str, Any]:
    """Lanes of people with their stretches, who had the boil, and the handovers.

    A stretch runs from one person's first entry at a station to their last, unbroken by another
    station or a pause of 15 minutes: what was recorded, not how long somebody stood there. What
    was pressed at no station counts to the stretch it fell into.
    """
    live = Live(sheet, in_order(events))
    work = _work(sheet, live)
    people = sorted({who for who, *_ in work}, key=lambda who: _first(work, who))
    lanes = [
        {"who": who, "name": names.get(who, who), "stretches": _stretches(sheet, work, who)}
        for who in people
    ]
    return {
        "from": min((a for _, _, a, _ in work), default=None),
        "to": max((a for _, _, a, _ in work), default=None),
        "lanes": [{**lane, "stretches": _beside(lane, lanes)} for lane in lanes],
        "had": _had(live, names, min((a for _, _, a, _ in work), default=None)),
        "handovers": [_handover(h, names) for h in state["handovers"]],
    }


Entry = tuple[str, str, int, str]


def _work(sheet: Sheet, live: Live) -> list[Entry]:
    """(who, station or "", when, what) of every entry of work that counts."""
    undone = {e["body"]["target"] for e in live.of("step_undone")}
    found = [
        (actor(e), _station(sheet, e), at(e), _said(sheet, e))
        for kind, events in live.by_kind.items()
        if kind not in NO_WORK
        for e in events
        if ref_of(e) not in undone
    ]
    return sorted(found, key=lambda entry: (entry[2], entry[0], entry[1], entry[3]))


def _station(sheet: Sheet, event: Event) -> str:
    step = sheet["steps"].get(event.get("step"), {})
    return str(event.get("station") or step.get("station", ""))


def _said(sheet: Sheet, event: Event) -> str:
    """The step's own words, or the label of what was read; else the kind of entry."""
    if event.get("step") in sheet["steps"]:
        return str(sheet["steps"][event["step"]]["say"])
    record = sheet["records"].get(event["body"].get("what"))
    return str(record["label"] if record else event["kind"].replace("_", " "))


def _first(work: list[Entry], who: str) -> tuple[int, str]:
    return min(when for name, _, when, _ in work if name == who), who


def _stretches(sheet: Sheet, work: list[Entry], who: str) -> list[Line]:
    found: list[Line] = []
    for _, station, when, said in (entry for entry in work if entry[0] == who):
        last = found[-1] if found else None
        same = last and station in ("", last["station"]) and when - last["to"] <= PAUSE_MS
        if last and same:
            last["to"] = when
            last["said"].append(said)
        else:
            found.append({"station": station, "from": when, "to": when, "said": [said]})
    names = {"": NOWHERE, **{station["id"]: station["name"] for station in sheet["stations"]}}
    return [{**s, "name": names.get(s["station"], s["station"])} for s in found]


def _beside(lane: Line, lanes: list[Line]) -> list[Line]:
    """Each stretch with who worked at another station meanwhile."""
    others = [(o["name"], s) for o in lanes if o is not lane for s in o["stretches"]]
    return [
        {**s, "beside": sorted({f"{name}, {o['name']}" for name, o in others if _at_once(s, o)})}
        for s in lane["stretches"]
    ]


def _at_once(a: Line, b: Line) -> bool:
    apart = a["station"] != b["station"]
    return bool(apart and a["from"] <= b["to"] and b["from"] <= a["to"])


def _had(live: Live, names: Mapping[str, str], first: int | None) -> list[Line]:
    """Who had the boil from when on; the last has it still, or had it at the end.

    The first has it from the first entry on, where work began before the boil was opened.
    """
    found: list[Line] = []
    for event in passes_on(live):
        opened = event["kind"] == "batch_opened"
        who = str(event["body"]["lead"]) if opened else actor(event)
        begins = min(at(event), first) if opened and first is not None else at(event)
        if not found or found[-1]["who"] != who:
            found.append({"who": who, "name": names.get(who, who), "from": begins})
    return found


def _handover(entry: Line, names: Mapping[str, str]) -> Line:
    people = {key: names.get(entry[key], entry[key]) for key in ("from", "to")}
    kept = {key: entry[key] for key in ("offered", "taken", "glance")}
    return {**people, **kept}
