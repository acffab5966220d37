"""Differences between two ways, in words."""

from dataclasses import dataclass
from typing import Any

from shop.plan.own_way import Flat, changed_between

# What a field of a step is called; what the forms do not offer is not named.
FIELDS = {
    "say": "to do",
    "call": "call",
    "cue": "cue",
    "band": "hot band",
    "caution": "caution",
    "record": "writes down",
    "number": "number",
    "lines": "lines",
    "after": "comes after",
    "stop": "nothing is lit without it",
    "needs_value": "needs its value",
    "second_person": "second person",
    "repeat": "repeats",
    "skill": "skill",
    "heading": "heading",
}
LISTS = {
    "marks": "Marks",
    "hazards": "Cautions read together",
    "pass_reasons": "Reasons to pass",
    "burn/own": "Burn drill, lines of this site",
}


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing in words: what it is about, what it was, what it is; "–" for nothing."""

    path: str
    about: str
    what: str
    before: str
    after: str


def differences(before: Flat, after: Flat) -> list[Difference]:
    """What is otherwise in `after`, by station and step; a step that was added stands once."""
    found = []
    for path, (was, now) in changed_between(before, after).items():
        if not _repeats_an_added_step(path, before, after):
            found += of_path(path, was, now, after if path in after else before)
    return found


def of_path(path: str, was: Any, now: Any, flat: Flat) -> list[Difference]:
    """The differences at one path; names are taken from `flat`."""
    kind, _, rest = path.partition("/")
    if kind == "order":
        return list(_moves(path, was or [], now or [], flat))
    if kind == "steps":
        ident, _, field = rest.partition("/")
        about = f"{_station(flat, flat[f'steps/{ident}/station'])}: {flat[f'steps/{ident}/say']}"
        return [Difference(path, about, FIELDS.get(field, field), in_words(was), in_words(now))]
    if kind == "stations":
        return [Difference(path, "Station", "name", in_words(was), in_words(now))]
    return [Difference(path, LISTS[path], "list", in_words(was), in_words(now))]


def in_words(value: Any) -> str:
    """A value as somebody would read it out."""
    match value:
        case None | "" | [] | {}:
            return "–"
        case 0 | 1:
            return ("no", "yes")[value]
        case list():
            return "; ".join(in_words(one) for one in value)
        case {"words": words, **rest}:
            return f"{words} ({rest['why']})" if rest.get("why") else str(words)
        case {"figure": figure}:
            return f"as often as {figure}"
    return str(value)


def _moves(path: str, was: list[str], now: list[str], flat: Flat) -> list[Difference]:
    station = _station(flat, path.removeprefix("order/"))
    said = {step: str(flat.get(f"steps/{step}/say", step)) for step in {*was, *now}}
    added = [Difference(path, station, "added", "–", said[s]) for s in now if s not in was]
    gone = [Difference(path, station, "dropped", said[s], "–") for s in was if s not in now]
    before, after = [s for s in was if s in now], [s for s in now if s in was]
    if before == after:
        return [*added, *gone]
    moved = (in_words([said[s] for s in steps]) for steps in (before, after))
    return [*added, *gone, Difference(path, station, "order", *moved)]


def _station(flat: Flat, station: str) -> str:
    return str(flat.get(f"stations/{station}/name", station))


def _repeats_an_added_step(path: str, before: Flat, after: Flat) -> bool:
    """Its words stand in the line that says it was added, or dropped."""
    if not path.startswith("steps/"):
        return False
    ident = path.split("/")[1]
    return any(f"steps/{ident}/say" not in flat for flat in (before, after))
