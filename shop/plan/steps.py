"""The steps of a sheet: the shop's own way, with one step for each portion and each block."""

from collections.abc import Iterable, Mapping
from typing import Any

from shop.plan.picture import Block
from shop.plan.portion import Portion

Step = dict[str, Any]

EMPTY: Step = {
    **dict.fromkeys(("cue", "look", "band", "caution", "number", "moment", "due", "tally"), ""),
    **dict.fromkeys(("block", "portion", "skill"), ""),
    **{"lines": [], "record": [], "after": [], "countdown": None, "repeat": None},
    **dict.fromkeys(("stop", "needs_value", "second_person", "together"), 0),
}


def all_steps(
    way: Mapping[str, Any],
    portions: Iterable[Portion],
    blocks: Iterable[Block],
    quantities: Iterable[dict[str, Any]],
) -> dict[str, Step]:
    """Every step by id, in the order of the stations, with nothing left out."""
    says = {q["name"]: q["says"] for q in quantities}
    words = {
        "portion": [portion_words(p) for p in portions if not p.white],
        "block": [{**spelled(b.id, b.name), "say": b.say, "cue": b.cue} for b in blocks],
    }
    found = {}
    for station in way["station"]:
        for step in station["step"]:
            for filled in expand(step, words):
                found[filled["id"]] = _whole(station["id"], filled, says)
    return found


def expand(row: Step, words: Mapping[str, list[dict[str, str]]]) -> list[Step]:
    """The row itself, or one of it for every portion or block it is `each` for."""
    if "each" not in row:
        return [row]
    plain = {key: value for key, value in row.items() if key != "each"}
    return [{k: _fill(v, given) for k, v in plain.items()} for given in words[row["each"]]]


def portion_words(portion: Portion) -> dict[str, str]:
    """What may stand in braces for a portion."""
    return spelled(portion.id, portion.name)


def spelled(ident: str, name: str) -> dict[str, str]:
    """`{id}`, `{name}` inside a sentence, `{Name}` at its start."""
    return {"id": ident, "name": name.lower(), "Name": name}


def _fill(value: Any, words: Mapping[str, str]) -> Any:
    if isinstance(value, list):
        return [_fill(item, words) for item in value]
    return value.format(**words) if isinstance(value, str) else value


def _whole(station: str, step: Step, says: Mapping[str, str]) -> Step:
    lines = [{"figure": f, "label": says.get(f, f)} for f in step.get("lines", [])]
    return {**EMPTY, "station": station, **step, "lines": lines}
