"""The simpler sides of the state: life of the batch, tallies, notes and files, countdowns,
interruptions."""

from typing import Any

from shop.record.check import Sheet
from shop.record.live import Live
from shop.record.order import Event, actor, at, by_time, place, ref_of


def life(sheet: Sheet, live: Live) -> dict[str, Any]:
    """Whether the batch is planned, open, closed or given up, since when, and what came late."""
    opened = live.of("batch_opened")[:1]
    ended = live.of("batch_closed", "batch_given_up")[:1]
    phases = {"batch_closed": "closed", "batch_given_up": "given_up"}
    standing = "open" if opened else "planned"
    return {
        "batch": sheet["batch"],
        "phase": phases[ended[0]["kind"]] if ended else standing,
        "opened_at": at(opened[0]) if opened else None,
        "ended_at": at(ended[0]) if ended else None,
        "given_up": ended[0]["body"].get("mg") if ended else None,
        "late": _late(live, ended[0]) if ended else [],
    }


def _late(live: Live, end: Event) -> list[str]:
    everything = sorted((e for events in live.by_kind.values() for e in events), key=place)
    return [ref_of(e) for e in everything if place(e) > place(end)]


def tallies(live: Live) -> dict[str, int]:
    """What was counted → how many."""
    counted: dict[str, int] = {}
    for event in live.of("tally_counted"):
        what = event["body"]["what"]
        counted[what] = counted.get(what, 0) + event["body"]["add"]
    return dict(sorted(counted.items()))


def counted(live: Live) -> dict[str, dict[str, Any]]:
    """What was counted → when last, and by whom."""
    newest = {e["body"]["what"]: e for e in sorted(live.of("tally_counted"), key=by_time)}
    return {what: _hand(event) for what, event in sorted(newest.items())}


def lots(live: Live) -> list[dict[str, Any]]:
    """Lots by material: the newest said stands, and those said to be used beside it."""
    standing: dict[str, dict[str, dict[str, Any]]] = {}
    for event in sorted(live.of("lot_used"), key=by_time):
        body = event["body"]
        beside = standing.get(body["material"], {}) if body.get("also") else {}
        beside.pop(body["lot"], None)
        standing[body["material"]] = {**beside, body["lot"]: _lot(event)}
    return [used for _, found in sorted(standing.items()) for used in found.values()]


def _lot(event: Event) -> dict[str, Any]:
    body = event["body"]
    said = {"material": body["material"], "lot": body["lot"], "mg": body.get("mg")}
    return {**said, **_hand(event), "ref": ref_of(event)}


AT_WORK = ("reading_taken", "step_done", "step_passed", "stood_in", "tally_counted")


def at_stations(live: Live) -> dict[str, dict[str, Any]]:
    """Station → who last worked there, and when."""
    newest = {e["station"]: e for e in sorted(live.of(*AT_WORK), key=by_time) if e.get("station")}
    return {station: _hand(event) for station, event in sorted(newest.items())}


def _hand(event: Event) -> dict[str, Any]:
    return {"by": actor(event), "at": at(event)}


def words(live: Live) -> dict[str, Any]:
    """Notes, photos and sounds, running countdowns, interruptions."""
    return {
        "notes": [_note(e) for e in live.of("note_written")],
        "files": [_file(e) for e in live.of("photo_taken", "sound_kept")],
        "countdowns": countdowns(live),
        "interrupted": interrupted(live),
    }


def _note(event: Event) -> dict[str, Any]:
    return {
        "ref": ref_of(event),
        "text": event["body"]["text"],
        "at": at(event),
        "by": actor(event),
        "station": event.get("station", ""),
    }


def _file(event: Event) -> dict[str, Any]:
    body = event["body"]
    return {
        "ref": ref_of(event),
        "kind": "photo" if event["kind"] == "photo_taken" else "sound",
        **{name: body[name] for name in ("sha256", "size", "type")},
        "what": body.get("what", ""),
        "at": at(event),
        "by": actor(event),
        "station": event.get("station", ""),
    }


def countdowns(live: Live) -> list[dict[str, Any]]:
    """Countdowns that were started and not answered, by deadline on the corrected clock."""
    running: dict[str, dict[str, Any]] = {}
    for event in live.of("countdown_started", "countdown_stopped"):
        running.pop(event["body"]["id"], None)
        if event["kind"] == "countdown_started":
            running[event["body"]["id"]] = _countdown(event)
    return sorted(running.values(), key=lambda c: (c["deadline"], c["id"]))


def _countdown(event: Event) -> dict[str, Any]:
    return {
        "id": event["body"]["id"],
        "label": event["body"]["label"],
        "deadline": event["body"]["deadline"] + (event["offset"] or 0),
        "started": at(event),
        "by": actor(event),
        "station": event.get("station", ""),
    }


def interrupted(live: Live) -> list[dict[str, Any]]:
    """Interruptions and how each ended."""
    ends = {e["body"]["target"]: e for e in live.of("carried_on")}
    return [
        {
            "ref": ref_of(e),
            "cause": e["body"]["cause"],
            "at": at(e),
            "by": actor(e),
            "ended": {"at": at(end), "how": end["body"]["how"]}
            if (end := ends.get(ref_of(e)))
            else None,
        }
        for e in live.of("interrupted")
    ]
