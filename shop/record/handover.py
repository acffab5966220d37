"""The handover card (ten parts) and the glance card (four lines), from the fold alone.

Parts after the three-way handover of HSE's human-factors guidance (prepare, communicate,
cross-check); the contents are common practice of the trade, no source.
"""

from typing import Any

from shop.record.check import Sheet
from shop.record.steps import State, in_zone, is_finished, station_view

STALE_MS = 5 * 60_000
WARM = 45_000
NEXT_LINES = 5


def card(sheet: Sheet, state: State, now: int) -> dict[str, Any]:
    """The ten parts; `now` [time] dates every value."""
    return {
        "now": _now(sheet, state),
        "hot": _hot(sheet, state, now),
        "where": _where(sheet, state, now),
        "next": _next(sheet, state),
        "off": [entry for entry in state["off"] if entry["mended"] is None],
        "changed": [entry for entry in state["off"] if entry["mended"] is not None],
        "holds": {"lead": state["lead"]["by"], "crew": state["crew"]},
        "counts": {"tallies": state["tallies"], "packs": sheet["order"]["packs"]},
        "safety": _safety(sheet, state),
        "owed": state["owed"],
        "walk": sheet["walk"],
        "in_zone": int(in_zone(sheet, state)),
    }


def glance(sheet: Sheet, state: State, now: int) -> dict[str, Any]:
    """Four lines for a newcomer inside the zone: now, hot, next, who has the boil."""
    whole = card(sheet, state, now)
    return {
        "now": whole["now"],
        "hot": whole["hot"][:3],
        "next": whole["next"][:2],
        "lead": state["lead"]["by"],
    }


def _now(sheet: Sheet, state: State) -> dict[str, Any]:
    views = [(s["id"], station_view(sheet, state, s["id"])) for s in sheet["stations"]]
    return {
        "title": sheet["title"],
        "letter": sheet["boil"]["letter"],
        "reading_end": sheet["picture"]["reading_end"],
        "stations": [
            {"station": name, "step": view["now"], "done": view["done"], "total": view["total"]}
            for name, view in views
            if view["now"] and view["done"]
        ],
    }


def _hot(sheet: Sheet, state: State, now: int) -> list[dict[str, Any]]:
    """Everything read warm enough to burn in held contact, hottest first, with its age."""
    found = [
        _aged(key, value, now)
        for key, value in state["values"].items()
        if sheet["records"][key.split("#")[0]]["fixed"] == "m°C" and value["value"] > WARM
    ]
    return sorted(found, key=lambda entry: (-entry["value"], entry["what"]))


def _aged(key: str, value: dict[str, Any], now: int) -> dict[str, Any]:
    age = now - value["at"]
    return {"what": key, "value": value["value"], "age": age, "stale": int(age > STALE_MS)}


def _where(sheet: Sheet, state: State, now: int) -> list[dict[str, Any]]:
    """Weighed portions, and which blocks are laid up."""
    weighed = [
        {"portion": p["id"], **_aged(p["record"], state["values"][p["record"]], now)}
        for p in sheet["portions"]
        if p["record"] in state["values"]
    ]
    blocks = [
        {"block": b["id"], "built": int(is_finished(state, b["step"]))} for b in sheet["blocks"]
    ]
    return [*weighed, *blocks]


def _next(sheet: Sheet, state: State) -> list[dict[str, Any]]:
    """At most five coming steps, those with a due time first."""
    lines = []
    for station in sheet["stations"]:
        view = station_view(sheet, state, station["id"])
        if view["now"] and not view["waits_for"]:
            due = sheet["steps"][view["now"].split("#")[0]]["due"]
            when = state["figures"].get(due) if due else None
            lines.append({"station": station["id"], "step": view["now"], "due": when})
    far = 2**52
    lines.sort(key=lambda line: far if line["due"] is None else line["due"])
    return lines[:NEXT_LINES]


def _safety(sheet: Sheet, state: State) -> dict[str, Any]:
    return {
        "interrupted": state["interrupted"],
        "stop_open": [s for s in sheet["stop_items"] if not is_finished(state, s)],
        "hazards_read": state["hazards"]["people"] if state["hazards"] else [],
    }
