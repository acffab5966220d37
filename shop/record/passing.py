"""Passing the boil on: the offer, the walk of both, what was asked, and who only shadows."""

from typing import Any

from shop.record.live import Live
from shop.record.order import Event, actor, at, ref_of


def passes_on(live: Live) -> list[Event]:
    """The opening, then what passes the boil on; a glance inside the zone leaves it where it is.

    The opening stands first, whatever a clock says: nobody can take a boil that is not open.
    A press that names nobody leaves the boil where it is: it always has one name.
    """
    full = {ref_of(e) for e in live.of("handover_offered") if not e["body"]["glance"]}
    taken = [
        e
        for e in live.of("boil_taken", "handover_taken")
        if actor(e) and (e["kind"] == "boil_taken" or e["body"]["target"] in full)
    ]
    return [*live.of("batch_opened")[:1], *taken]


def offer(live: Live) -> dict[str, Any] | None:
    """The newest offer, unless it was taken, and who has walked for it."""
    taken = {e["body"]["target"] for e in live.of("handover_taken")}
    newest = live.of("handover_offered")[-1:]
    if not newest or ref_of(newest[0]) in taken:
        return None
    event, ref = newest[0], ref_of(newest[0])
    body = {name: event["body"][name] for name in ("to", "glance")}
    return {"ref": ref, "by": actor(event), "at": at(event), **body, "walks": _walks(live, ref)}


def handovers(live: Live) -> list[dict[str, Any]]:
    """Every handover that was taken: both names, both walks, what was said."""
    offers = {ref_of(e): e for e in live.of("handover_offered")}
    return [
        _handover(live, offers[e["body"]["target"]], e)
        for e in live.of("handover_taken")
        if e["body"]["target"] in offers
    ]


def _handover(live: Live, offered: Event, taken: Event) -> dict[str, Any]:
    return {
        "from": actor(offered),
        "to": actor(taken),
        "offered": at(offered),
        "taken": at(taken),
        "glance": offered["body"]["glance"],
        "walked": taken["body"].get("walked", []),
        "walks": _walks(live, ref_of(offered)),
        "questions": taken["body"]["questions"],
        "right": taken["body"].get("right", 0),
    }


def _walks(live: Live, ref: str) -> list[dict[str, Any]]:
    """Who walked past what for this offer, and when."""
    return [
        {"by": actor(e), "at": at(e), "places": e["body"]["places"]}
        for e in live.of("walk_stamped")
        if e["body"]["target"] == ref
    ]


def shadows(live: Live) -> list[str]:
    """Who took the glance card and has not had the boil since: they look on."""
    glances = {ref_of(e) for e in live.of("handover_offered") if e["body"]["glance"]}
    looking: list[str] = []
    for event in live.of("handover_taken", "boil_taken"):
        who = actor(event)
        looking = [person for person in looking if person != who]
        if event["kind"] == "handover_taken" and event["body"]["target"] in glances:
            looking.append(who)
    return looking
