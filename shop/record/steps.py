"""What a station shows: now, next, who waits; and which stretch of the work we are in."""

from typing import Any

from shop.record.check import Sheet
from shop.record.progress import numbered

State = dict[str, Any]
# More than any log has of anything; a figure that is astray would fill the memory.
MOST_REPEATS = 1000


def station_view(sheet: Sheet, state: State, station: str) -> dict[str, Any]:
    """Keys of the steps `now` and `next` (`""` = none), what they wait for, who waits for them."""
    keys = station_keys(sheet, state, station)
    left = [key for key in keys if not is_finished(state, key)]
    now = left[0] if left else ""
    return {
        "now": now,
        "next": left[1] if len(left) > 1 else "",
        "waits_for": _unfinished_before(sheet, state, now, station),
        "waiting": _waiting(sheet, state, station),
        "done": len(keys) - len(left),
        "total": len(keys),
    }


def station_keys(sheet: Sheet, state: State, station: str) -> list[str]:
    """The station's step keys in order, repeats counted out, dropped ones left out."""
    steps = next(s["steps"] for s in sheet["stations"] if s["id"] == station)
    return [
        k for step in steps if step not in state["dropped"] for k in keys_of(sheet, state, step)
    ]


def keys_of(sheet: Sheet, state: State, step: str) -> list[str]:
    """`[step]`, or `step#1 … step#n` for one that repeats."""
    repeat = sheet["steps"][step]["repeat"]
    if not repeat:
        return [step]
    wanted = state["figures"].get(repeat["figure"]) or 0
    return [numbered(step, n + 1) for n in range(min(wanted, MOST_REPEATS))]


def is_finished(state: State, key: str) -> bool:
    """Done or passed, and not reopened since."""
    return state["steps"].get(key, {"state": "open"})["state"] in ("done", "passed")


def step_finished(sheet: Sheet, state: State, step: str) -> bool:
    """All of a step's keys are finished, or it was dropped."""
    return step in state["dropped"] or all(
        is_finished(state, key) for key in keys_of(sheet, state, step)
    )


def station_of(sheet: Sheet, step: str) -> str:
    """The station a step belongs to."""
    return str(sheet["steps"][step]["station"])


def _unfinished_before(sheet: Sheet, state: State, key: str, station: str) -> list[dict[str, str]]:
    before = sheet["steps"][key.split("#")[0]]["after"] if key else []
    return [
        {"station": station_of(sheet, step), "step": step}
        for step in before
        if station_of(sheet, step) != station and not step_finished(sheet, state, step)
    ]


def _waiting(sheet: Sheet, state: State, station: str) -> list[dict[str, str]]:
    """Other stations whose next work waits for something of this one."""
    found = []
    for other in sheet["stations"]:
        left = [k for k in station_keys(sheet, state, other["id"]) if not is_finished(state, k)]
        if other["id"] == station or not left:
            continue
        for wait in _unfinished_before(sheet, state, left[0], other["id"]):
            if wait["station"] == station:
                found.append({"station": other["id"], "step": wait["step"]})
    return found


def in_hot_scene(sheet: Sheet, state: State) -> bool:
    """From 140 °C until poured: nobody may have to touch the phone."""
    return _between(sheet, state, sheet["hot_scene"])


def in_zone(sheet: Sheet, state: State) -> bool:
    """The stretch in which the boil is not handed over."""
    return _between(sheet, state, sheet["zone"])


def _between(sheet: Sheet, state: State, stretch: dict[str, str]) -> bool:
    if state["phase"] != "open" or not is_finished(state, stretch["from"]):
        return False
    return not step_finished(sheet, state, stretch["to"])
