"""Hands: who has the boil, who works, what was read together, who hands over to whom."""

from typing import Any

from shop.record.check import Sheet
from shop.record.live import Live
from shop.record.order import Event, at, ref_of


def hands(sheet: Sheet, live: Live) -> dict[str, Any]:
    """Lead, crew, hazards read together, the open offer and the handovers."""
    return {
        "lead": lead(sheet, live),
        "crew": crew(sheet, live),
        "hazards": _hazards(live),
        "offer": _offer(live),
        "handovers": _handovers(live),
    }


def lead(sheet: Sheet, live: Live) -> dict[str, Any]:
    """Who has the boil: always exactly one name."""
    holder = {"by": sheet["lead"], "since": None, "ref": ""}
    for event in _leads(live):
        holder = {"by": _new_lead(event), "since": at(event), "ref": ref_of(event)}
    return holder


def _leads(live: Live) -> list[Event]:
    """Events that pass the boil on; a glance inside the zone leaves it where it is."""
    full = {ref_of(e) for e in live.of("handover_offered") if not e["body"]["glance"]}
    return [
        e
        for e in live.of("batch_opened", "boil_taken", "handover_taken")
        if e["kind"] != "handover_taken" or e["body"]["target"] in full
    ]


def _new_lead(event: Event) -> str:
    return str(event["body"]["lead"] if event["kind"] == "batch_opened" else event["by"])


def two_took(sheet: Sheet, live: Live) -> list[dict[str, Any]]:
    """Two people took the boil from the same third, neither having seen the other."""
    holder, before, open_conflict = sheet["lead"], "", []
    for event in _leads(live):
        seen = event["body"]["from"] if event["kind"] == "boil_taken" else holder
        new = _new_lead(event)
        unseen = seen != holder and new != holder
        open_conflict = (
            [{"kind": "two_took", "what": "lead", "refs": [before, ref_of(event)]}]
            if unseen and before
            else []
        )
        holder, before = new, ref_of(event)
    return open_conflict


def crew(sheet: Sheet, live: Live) -> list[dict[str, Any]]:
    """Who works on this batch."""
    changed = live.of("crew_changed")
    if changed:
        return list(changed[-1]["body"]["crew"])
    return [person for person in sheet["people"] if person["id"] in sheet["crew"]]


def _hazards(live: Live) -> dict[str, Any] | None:
    read = live.of("hazards_read")
    if not read:
        return None
    return {"people": sorted({p for e in read for p in e["body"]["people"]}), "at": at(read[0])}


def _offer(live: Live) -> dict[str, Any] | None:
    """The newest offer, unless it was taken."""
    taken = {e["body"]["target"] for e in live.of("handover_taken")}
    newest = live.of("handover_offered")[-1:]
    if not newest or ref_of(newest[0]) in taken:
        return None
    event = newest[0]
    return {"ref": ref_of(event), "by": event["by"], "at": at(event), **event["body"]}


def _handovers(live: Live) -> list[dict[str, Any]]:
    offers = {ref_of(e): e for e in live.of("handover_offered")}
    return [
        {
            "from": offers[target]["by"],
            "to": e["by"],
            "offered": at(offers[target]),
            "taken": at(e),
            "glance": offers[target]["body"]["glance"],
            "walked": e["body"].get("walked", []),
            "questions": e["body"]["questions"],
        }
        for e in live.of("handover_taken")
        if (target := e["body"]["target"]) in offers
    ]
