"""Our way as a shop works it: what differs from the way that comes with the program, path by path.

A way is flat here: `steps/<id>/<field>`, `order/<station>` (ids of its steps in order; one that
stands in no order is dropped), `stations/<id>/name`, `marks`, `hazards`, `pass_reasons` and
`burn/own` (lines this site adds to the drill). Its own is `{"format", "program", "set", "was"}`:
what it sets, and what the program said there when it was set, so that both sides of a later
change can be told apart.
"""

import json
import tomllib
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from shop.plan.canonical import canonical
from shop.plan.made_of import made_of
from shop.plan.steps import EMPTY

Flat = dict[str, Any]
Own = dict[str, Any]
FORMAT = 1
# Steps a shop adds are named so; the program never names one so.
OWN_STEP = "own."
# Between what the shop says and what the program says where both must be read.
BOTH = " · "


@dataclass(frozen=True, slots=True)
class Way:
    """A way as a sheet is built from it: the three files; `version` is 0 for the program's own."""

    steps: dict[str, Any]
    records: dict[str, Any]
    words: dict[str, Any]
    version: int = 0


@cache
def file_of_way(name: str) -> dict[str, Any]:
    """One file of the way that comes with the program; callers share it and must not change it."""
    return tomllib.loads(files("shop.plan.way").joinpath(f"{name}.toml").read_text("utf-8"))


@cache
def programs_way() -> Way:
    """The way that comes with the program."""
    return Way(file_of_way("steps"), file_of_way("records"), file_of_way("words"))


def program_flat() -> Flat:
    """The way that comes with the program, flat; the caller's own copy."""
    return deepcopy(programs_flat())


@cache
def programs_flat() -> Flat:
    """The same to be read alone; callers share it and must not change it."""
    flat: Flat = {}
    for station in file_of_way("steps")["station"]:
        flat[f"stations/{station['id']}/name"] = station["name"]
        flat[f"order/{station['id']}"] = [step["id"] for step in station["step"]]
        for step in station["step"]:
            flat |= step_fields(step["id"], {**step, "station": station["id"]})
    words = file_of_way("words")
    flat |= {"marks": words["mark"], "hazards": words["hazard"]}
    return flat | {"pass_reasons": words["pass_reasons"], "burn/own": []}


def step_fields(ident: str, row: Mapping[str, Any]) -> Flat:
    """Every field of a step under its path, those it leaves out among them."""
    whole = {**EMPTY, **{key: value for key, value in row.items() if key != "id"}}
    return {f"steps/{ident}/{key}": value for key, value in whole.items()}


def own_of(flat: Flat, before: Own | None = None) -> Own:
    """What a flat way has otherwise than the program's.

    Of what stood so `before` it is still known what the program said when the shop set it.
    """
    program, known = programs_flat(), before or {"set": {}, "was": {}}
    gone = {path: value for path, value in known["set"].items() if stale(path)}
    changed = gone | {path: flat[path] for path in flat if differs(path, flat, program)}
    same = {path for path in changed if known["set"].get(path) == changed[path]}
    was = {path: (known["was"] if path in same else program).get(path) for path in changed}
    return deepcopy({"format": FORMAT, "program": made_of(), "set": changed, "was": was})


def differs(path: str, flat: Flat, program: Flat) -> bool:
    """Whether the program says nothing at a path, or something else."""
    return path not in program or flat[path] != program[path]


def stale(path: str) -> bool:
    """Whether a path is of something that the program has no longer."""
    return path not in programs_flat() and not of_own_step(path)


def both_changed(own: Own) -> dict[str, tuple[Any, Any, Any]]:
    """Path → what the program said, what it says now, what the shop set: where both changed it."""
    program = programs_flat()
    return {
        path: (own["was"][path], program.get(path), value)
        for path, value in sorted(own["set"].items())
        if own["was"][path] != program.get(path) != value
        and not path.startswith("order/")
        and not of_own_step(path)
    }


def settled(own: Own, path: str, *, ours: bool) -> Own:
    """One such path settled: the shop's words stand, or the program's do."""
    now = {key: dict(own[key]) for key in ("set", "was")}
    now["was"][path] = programs_flat().get(path)
    if not ours:
        del now["set"][path], now["was"][path]
    return {**own, **now}


def changed_between(before: Flat, after: Flat) -> dict[str, tuple[Any, Any]]:
    """Path → before and after, of every path that differs; None where there was none."""
    paths = sorted(before.keys() | after.keys())
    pairs = {path: (before.get(path), after.get(path)) for path in paths}
    both = before.keys() & after.keys()
    return {path: pair for path, pair in pairs.items() if path not in both or pair[0] != pair[1]}


def own_text(own: Own) -> str:
    """The one text of an own way."""
    return canonical(own)


def read_own(text: str) -> Own:
    """An own way from its text; the program's for an empty one."""
    own: Own = json.loads(text) if text else own_of(programs_flat())
    return own


def applied(own: Own) -> Flat:
    """The shop's whole way: the program's as it is now, under what the shop set.

    Words for a step that the program has no longer are left out, and come back with it.
    """
    flat = program_flat()
    for path, value in own["set"].items():
        if path.startswith("order/") and path in flat:
            flat[path] = merged_order(own["was"][path], flat[path], value)
        elif path in flat or of_own_step(path):
            flat[path] = deepcopy(value)
    return flat


def of_own_step(path: str) -> bool:
    """Whether a path is of a step that the shop added."""
    return path.startswith(f"steps/{OWN_STEP}")


def merged_order(was: list[str], now: list[str], own: list[str]) -> list[str]:
    """The shop's order, less what the program dropped since, with what it added since after the
    step it follows there."""
    kept = [step for step in own if step in now or step.startswith(OWN_STEP)]
    for place, step in enumerate(now):
        if step not in was and step not in kept:
            before = next((s for s in reversed(now[:place]) if s in kept), None)
            kept.insert(kept.index(before) + 1 if before else 0, step)
    return kept


def restored(flat: Flat, step: str) -> list[str]:
    """The order of the step's station with the step in it: where the program has it, else last."""
    station = flat[f"steps/{step}/station"]
    order = flat[f"order/{station}"]
    if step.startswith(OWN_STEP):
        return [*order, step]
    program = programs_flat()[f"order/{station}"]
    return merged_order([one for one in program if one != step], program, order)


def way_of(flat: Flat, version: int = 0) -> Way:
    """The way a sheet is built from.

    What the program says of a hazard, and of an item without which nothing is lit, is read beside
    the shop's own words for it.
    """
    words = {**file_of_way("words"), "pass_reasons": flat["pass_reasons"], "mark": flat["marks"]}
    burn = words["burn"]
    words["burn"] = {**burn, "lines": [*burn["lines"], *flat["burn/own"]]}
    words["hazard"] = _hazards(flat["hazards"])
    stations = [_station(flat, station["id"]) for station in file_of_way("steps")["station"]]
    return Way({"station": stations}, file_of_way("records"), words, version)


def stations_of(flat: Flat) -> dict[str, str]:
    """Station → its name, in the order of the work."""
    return {
        row["id"]: flat[f"stations/{row['id']}/name"] for row in file_of_way("steps")["station"]
    }


def step_of(flat: Flat, ident: str) -> dict[str, Any]:
    """Every field of one step; empty where there is none of that id."""
    paths = {field: f"steps/{ident}/{field}" for field in _fields()}
    return {field: flat[path] for field, path in paths.items() if path in flat}


@cache
def _fields() -> tuple[str, ...]:
    """Every field a step may have."""
    steps = (path.split("/", 2)[2] for path in programs_flat() if path.startswith("steps/"))
    return tuple(dict.fromkeys(steps))


def all_ids(flat: Flat) -> list[str]:
    """Every step that stands in an order."""
    return [step for station in stations_of(flat) for step in flat[f"order/{station}"]]


def dropped(flat: Flat, station: str) -> list[str]:
    """Steps of a station that are known and stand in no order."""
    known = {path.split("/")[1] for path in flat if path.startswith("steps/")}
    gone = known - set(flat[f"order/{station}"])
    return sorted(step for step in gone if flat[f"steps/{step}/station"] == station)


def said_by_program(path: str) -> Any:
    """What the program says at a path; None where it says nothing."""
    return programs_flat().get(path)


def _station(flat: Flat, station: str) -> dict[str, Any]:
    steps = [_row(flat, step) for step in flat[f"order/{station}"]]
    return {"id": station, "name": flat[f"stations/{station}/name"], "step": steps}


def _row(flat: Flat, ident: str) -> dict[str, Any]:
    row = {"id": ident, **step_of(flat, ident)}
    caution, say = (said_by_program(f"steps/{ident}/{key}") for key in ("caution", "say"))
    row["caution"] = beside(row["caution"], caution or "")
    if said_by_program(f"steps/{ident}/stop") and row["say"] != say:
        row["cue"] = f"{say}{BOTH}{row['cue']}"
    return {key: value for key, value in row.items() if key != "station"}


def _hazards(own: list[dict[str, str]]) -> list[dict[str, str]]:
    program = {hazard["id"]: hazard for hazard in file_of_way("words")["hazard"]}
    nothing = {"words": "", "why": ""}
    return [
        {
            "id": one["id"],
            **{k: beside(one[k], program.get(one["id"], nothing)[k]) for k in ("words", "why")},
        }
        for one in own
    ]


def beside(own: str, program: str) -> str:
    """The shop's words, and the program's after them where they say something else."""
    return own if not program or program in own else f"{own}{BOTH}{program}".removeprefix(BOTH)
