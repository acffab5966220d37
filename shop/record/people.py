"""Hands: who has the boil, who works, who stands beside or in, what was read together."""

from typing import Any

from shop.record.check import Sheet
from shop.record.live import Live
from shop.record.order import Event, actor, at, ref_of
from shop.record.passing import handovers, offer, passes_on, shadows


def hands(sheet: Sheet, live: Live) -> dict[str, Any]:
    """Lead, crew, who helps whom, hazards read together, the open offer and the handovers."""
    return {
        "lead": lead(sheet, live),
        "crew": crew(sheet, live),
        "shadows": shadows(live),
        "beside": [_beside(e) for e in live.of("stands_beside")],
        "stood_in": _stood_in(live),
        "hazards": _hazards(live),
        "offer": offer(live),
        "handovers": handovers(live),
    }


def lead(sheet: Sheet, live: Live) -> dict[str, Any]:
    """Who has the boil: always exactly one name; from whom, and whether they have seen it."""
    holder = {"by": sheet["lead"], "from": "", "since": None, "ref": "", "seen": None}
    for event in passes_on(live):
        new = _new_lead(event)
        before = holder["by"] if event["kind"] != "batch_opened" else ""
        holder = {"by": new, "from": before, "since": at(event), "ref": ref_of(event), "seen": None}
    return {**holder, "seen": _seen(live, str(holder["ref"]), str(holder["from"]))}


def _seen(live: Live, ref: str, who: str) -> int | None:
    """When this person first said that they have seen the entry."""
    moments = [at(e) for e in live.of("seen") if e["body"]["target"] == ref and actor(e) == who]
    return min(moments, default=None)


def _new_lead(event: Event) -> str:
    return str(event["body"]["lead"] if event["kind"] == "batch_opened" else actor(event))


def two_took(sheet: Sheet, live: Live) -> list[dict[str, Any]]:
    """Two people took the boil from the same third, neither having seen the other."""
    holder, before, open_conflict = sheet["lead"], "", []
    for event in passes_on(live):
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


def _beside(event: Event) -> dict[str, Any]:
    body = event["body"]
    return {
        "by": actor(event),
        "skill": body["skill"],
        "who": body["who"],
        "at": at(event),
        "station": event.get("station", ""),
    }


def _stood_in(live: Live) -> dict[str, Any]:
    """Station → who last said that they look after it, and when."""
    found = {e.get("station", ""): {"by": actor(e), "at": at(e)} for e in live.of("stood_in")}
    return dict(sorted(found.items()))


def _hazards(live: Live) -> dict[str, Any] | None:
    read = live.of("hazards_read")
    if not read:
        return None
    return {"people": sorted({p for e in read for p in e["body"]["people"]}), "at": at(read[0])}
