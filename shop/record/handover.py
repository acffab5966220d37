"""The handover card (ten parts), the glance card (four lines) and the spot questions, from the
fold alone.

Parts after the three-way handover of HSE's human-factors guidance (prepare, communicate,
cross-check); the contents are common practice of the trade, no source.
"""

from typing import Any

from shop.plan.whole import half_up
from shop.record.check import Sheet
from shop.record.steps import State, in_zone, is_finished, station_view
from shop.record.turns import reading_end

STALE_MS = 5 * 60_000
WARM = 45_000
NEXT_LINES = 5
SOON_MS = 10 * 60_000
MILLION = 1_000_000

Card = dict[str, Any]


def card(sheet: Sheet, state: State, now: int) -> Card:
    """The ten parts; `now` [time] dates every value: `age` [ms], `stale` past five minutes."""
    still = {owed["because"] for owed in state["owed"]} - {""}
    return {
        "now": _now(sheet, state, now),
        "flame": _flame(state, now),
        "hot": _hot(sheet, state, now),
        "where": _where(sheet, state, now),
        "next": _next(sheet, state, now),
        "expected": _expected(sheet, state, now),
        "off": [e for e in state["off"] if e["mended"] is None or e["id"] in still],
        "changed": [e for e in state["off"] if e["mended"] is not None and e["id"] not in still],
        "holds": _holds(state, now),
        "counts": _counts(sheet, state, now),
        "safety": _safety(sheet, state, now),
        "owed": [{**owed, "age": now - owed["since"]} for owed in state["owed"]],
        "walk": sheet["walk"],
        "in_zone": int(in_zone(sheet, state)),
    }


def glance(sheet: Sheet, state: State, now: int) -> Card:
    """Four lines for a newcomer inside the zone: now, hot, next, who has the boil."""
    whole = card(sheet, state, now)
    return {
        "now": whole["now"],
        "hot": whole["hot"][:3],
        "next": whole["next"][:2],
        "lead": state["lead"]["by"],
    }


def spots(whole: Card) -> list[Card]:
    """Eight questions that whoever takes over can answer, each with its answer off the card."""
    return [
        {"ask": "lead", "answer": whole["holds"]["lead"]},
        {"ask": "reading_end", "answer": whole["now"]["reading_end"]},
        {"ask": "now", "answer": whole["now"]["stations"]},
        {"ask": "hottest", "answer": whole["hot"][:1]},
        {"ask": "next", "answer": whole["next"][:1]},
        {"ask": "counts", "answer": whole["counts"]},
        {"ask": "off", "answer": [*whole["off"], *whole["changed"]]},
        {"ask": "owed", "answer": whole["owed"]},
    ]


def _dated(at: int | None, now: int) -> Card:
    """How old a value is; what was never dated has no age."""
    age = None if at is None else now - at
    return {"age": age, "stale": int(age is not None and age > STALE_MS)}


def _now(sheet: Sheet, state: State, now: int) -> Card:
    views = [(s["id"], station_view(sheet, state, s["id"])) for s in sheet["stations"]]
    return {
        "title": sheet["title"],
        "letter": sheet["boil"]["letter"],
        "reading_end": reading_end(sheet, state["turns"]),
        "stations": [
            {
                **{"station": name, "step": view["now"], "done": view["done"]},
                **{"total": view["total"], **_hand(state, name, now)},
            }
            for name, view in views
            if view["now"] and view["done"]
        ],
    }


def _hand(state: State, station: str, now: int) -> Card:
    """Who works at a station and since when nothing was pressed there; else who has the boil."""
    seen = state["at_stations"].get(station, {"by": "", "at": None})
    return {"by": seen["by"] or state["lead"]["by"], **_dated(seen["at"], now)}


def _flame(state: State, now: int) -> Card | None:
    """The kettle's flame as far as the steps tell: on from lit to poured."""
    moments = state["moments"]
    on = "lit" in moments and "poured" not in moments
    at = moments.get("lit" if on else "poured")
    return {"on": int(on), **_dated(at, now)} if at is not None else None


def _hot(sheet: Sheet, state: State, now: int) -> list[Card]:
    """What was read warm enough to burn in held contact where work goes on, hottest first."""
    over = {s["id"] for s in sheet["stations"] if not station_view(sheet, state, s["id"])["now"]}
    found = [
        {
            **{"station": _place_of(sheet, key.split("#")[0]), "what": key},
            **{"value": value["value"], **_dated(value["at"], now)},
        }
        for key, value in state["values"].items()
        if sheet["records"][key.split("#")[0]]["fixed"] == "m°C" and value["value"] > WARM
    ]
    hot = [entry for entry in found if entry["station"] not in over]
    return sorted(hot, key=lambda entry: (-entry["value"], entry["what"]))


def _place_of(sheet: Sheet, what: str) -> str:
    """The station of the first step that reads it; `""` where none does."""
    order = (sheet["steps"][key] for s in sheet["stations"] for key in s["steps"])
    return next((step["station"] for step in order if what in step["record"]), "")


def _where(sheet: Sheet, state: State, now: int) -> list[Card]:
    """Weighed portions, and which blocks are laid up."""
    weighed = [
        {
            "portion": p["id"],
            "value": state["values"][p["record"]]["value"],
            **_dated(state["values"][p["record"]]["at"], now),
            "stale": 0,
        }
        for p in sheet["portions"]
        if p["record"] in state["values"]
    ]
    return [*weighed, *(_block(state, b, now) for b in sheet["blocks"])]


def _block(state: State, block: Card, now: int) -> Card:
    built = is_finished(state, block["step"])
    at = state["steps"][block["step"]]["at"] if built else None
    return {"block": block["id"], "built": int(built), **_dated(at, now), "stale": 0}


def _next(sheet: Sheet, state: State, now: int) -> list[Card]:
    """At most five lines of the next ten minutes, each with a name, those with a time first."""
    lines = [*_rings(state), *_coming(sheet, state, now)]
    soon = [line for line in lines if line["due"] is None or line["due"] <= now + SOON_MS]
    far = 2**52
    soon.sort(key=lambda line: far if line["due"] is None else line["due"])
    return soon[:NEXT_LINES]


def _rings(state: State) -> list[Card]:
    return [
        {
            "station": c["station"],
            "step": "",
            "ring": c["label"],
            "due": c["deadline"],
            "by": c["by"],
        }
        for c in state["countdowns"]
    ]


def _coming(sheet: Sheet, state: State, now: int) -> list[Card]:
    lines = []
    for station in sheet["stations"]:
        view = station_view(sheet, state, station["id"])
        if view["now"] and not view["waits_for"]:
            due = sheet["steps"][view["now"].split("#")[0]]["due"]
            when = state["figures"].get(due) if due else None
            line = {"station": station["id"], "step": view["now"], "ring": "", "due": when}
            lines.append({**line, "by": _hand(state, station["id"], now)["by"]})
    return lines


def _expected(sheet: Sheet, state: State, now: int) -> list[Card]:
    """What the reckoning still predicts, as ranges, and how old the reading is they rest on."""
    newest = max((value["at"] for value in state["values"].values()), default=None)
    units = {q["name"]: q for q in sheet["graph"]}
    return [
        {"figure": row["figure"], **_range(row, units, state), **_dated(newest, now), "stale": 0}
        for row in sheet.get("expected", [])
        if state["figures"].get(row["figure"]) is not None and row["until"] not in state["moments"]
    ]


def _range(row: Card, units: Card, state: State) -> Card:
    """Low and high; a moment is as unsure as the stretch of time (`of`) that leads to it, and
    lasts until another (`to`) where there is one."""
    value = state["figures"][row["figure"]]
    size, spread = state["figures"].get(row["of"]) or 0, units[row["of"]]["spread"]
    half = half_up(abs(size) * spread, MILLION)
    unit = units[row["figure"]]["unit"]
    high = state["figures"].get(row["to"])
    last = value + half if high is None else high
    return {"value": value, "low": value - half, "high": last, "unit": unit}


def _holds(state: State, now: int) -> Card:
    lead = state["lead"]
    return {
        **{"lead": lead["by"], "since": lead["since"], **_dated(lead["since"], now), "stale": 0},
        "crew": state["crew"],
        "shadows": state["shadows"],
        "stations": [
            {"station": station, "by": hand["by"], **_dated(hand["at"], now), "stale": 0}
            for station, hand in state["at_stations"].items()
        ],
    }


def _counts(sheet: Sheet, state: State, now: int) -> Card:
    tallies = [
        {"what": what, "n": n, **_dated(state["counted"][what]["at"], now), "stale": 0}
        for what, n in state["tallies"].items()
    ]
    return {"tallies": tallies, "packs": sheet["order"]["packs"]}


def _safety(sheet: Sheet, state: State, now: int) -> Card:
    hazards = state["hazards"] or {"people": [], "at": None}
    return {
        "interrupted": [{**i, "age": now - i["at"]} for i in state["interrupted"]],
        "stop_open": [s for s in sheet["stop_items"] if not is_finished(state, s)],
        "hazards_read": hazards["people"],
        "hazards_age": _dated(hazards["at"], now)["age"],
    }
