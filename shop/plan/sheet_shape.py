"""Whether a sheet that this program did not make has the shape of docs/contracts.md, section 3.

Keys that are not named here may stand on it: a newer program's sheet has some. A `?` marks one
that a sheet of before lacks.
"""

from collections.abc import Iterator
from datetime import date
from typing import Any

from shop.plan.canonical import FAR
from shop.plan.errors import SheetMisshapen
from shop.plan.sheet_graph import graph_problems

Sheet = dict[str, Any]
Problem = tuple[str, str]

TEXT, WHOLE, POSITIVE, LIMIT = "a text", "a whole number", "1 or more", "a number or a figure"
ANY, DAY = "anything", "a day such as 2026-11-25"
NO_DAY = f"{DAY}, or empty"
BY_KIND = "by its kind"
MOST = 5_000
LIMITS = {"low": WHOLE, "high": WHOLE}
RATIO = (WHOLE, POSITIVE)
NAMED = {"id": TEXT, "name": TEXT}

STEP = {
    **dict.fromkeys(("station", "say", "call", "cue", "band", "caution", "number"), TEXT),
    **dict.fromkeys(
        ("moment", "due", "tally", "block", "portion", "heading", "skill?", "look?"), TEXT
    ),
    **dict.fromkeys(("stop", "needs_value?", "second_person?", "together?"), WHOLE),
    "lines": [{"label": TEXT, "figure": TEXT}],
    "record": [TEXT],
    "after": [TEXT],
    "countdown": {None: {"id": TEXT, "label": TEXT, "figure?": TEXT}},
    "repeat": {None: {"figure": TEXT}},
}
RECORD = {
    **dict.fromkeys(("label", "kind", "how", "instrument", "instrument_name", "unit"), TEXT),
    **dict.fromkeys(("fixed", "target"), TEXT),
    **dict.fromkeys(("low", "high", "tolerance", "press", "many"), WHOLE),
    "d": POSITIVE,
    "units": {"*": {"factor": (POSITIVE, POSITIVE), "offset": RATIO}},
}
STRETCH = {"from": TEXT, "to": TEXT}
MATERIAL = {
    **dict.fromkeys(("id", "name", "kind", "record", "figure"), TEXT),
    "ppm": WHOLE,
    "lots": [{"id": TEXT, "words": TEXT}],
}
PART = {
    **dict.fromkeys(("id", "name", "portion", "block"), TEXT),
    "area_um2": POSITIVE,
    **dict.fromkeys(("narrowest_um", "copies"), WHOLE),
}
ORDER = {
    **dict.fromkeys(("number", "customer", "flavour", "country"), TEXT),
    **dict.fromkeys(("packs", "fill_mg", "rod_um", "piece_um", "sour"), WHOLE),
    "due": NO_DAY,
}
PORTION = {
    **dict.fromkeys(("id", "name", "swatch", "treatment", "figure", "record"), TEXT),
    **dict.fromkeys(("stocked", "dye_mg_per_kg"), WHOLE),
}
SHAPE = {
    BY_KIND: {
        "circle": {"swatch": TEXT, "x": WHOLE, "y": WHOLE, "r": POSITIVE},
        "polygon": {"swatch": TEXT, "points": [(WHOLE, WHOLE)]},
    }
}
CHECK = {"id": TEXT, "record": TEXT, "figure": TEXT, "low": LIMIT, "high": LIMIT}
SHEET: dict[Any, Any] = {
    **dict.fromkeys(("batch", "lot", "title", "lead"), TEXT),
    "day": DAY,
    "shop": dict.fromkeys(("name", "site_address", "emergency_number", "nearest_tap"), TEXT),
    "order": ORDER,
    "boil": {"letter": TEXT, "pattern": TEXT},
    "people": [{**NAMED, "role": TEXT, "solo?": [TEXT]}],
    "crew": [TEXT],
    "roles?": [{**NAMED, "may": [TEXT]}],
    "skills?": [NAMED],
    "stations": [{**NAMED, "call": TEXT, "steps": [TEXT]}],
    "steps": {"*": STEP},
    "records": {"*": RECORD},
    "graph": [{"name": TEXT, "unit": TEXT, "says": TEXT, "spread": WHOLE, "op": [ANY]}],
    "checks": [{**CHECK, "say": TEXT, "then?": TEXT}],
    "portions": [PORTION],
    "parts": [PART],
    "blocks": [{**NAMED, "step": TEXT}],
    "picture": {"reading_end": TEXT, "diameter_um": POSITIVE, "shapes": [SHAPE]},
    "marks": [{"id": TEXT, "words": TEXT}],
    "hazards": [{"id": TEXT, "words": TEXT, "why": TEXT}],
    "stop_items": [TEXT],
    "zone": STRETCH,
    "hot_scene": STRETCH,
    **{key: [TEXT] for key in ("walk", "pass_reasons", "order_of_steps")},
    "burn": {"lines": [TEXT], "source?": TEXT},
    "wait_choices_min": [WHOLE],
    "expected?": [{"figure": TEXT, "of": TEXT, "to": TEXT, "until": TEXT}],
    "balance": [{"id": TEXT, "label": TEXT, "figure": TEXT, "sign": WHOLE}],
    "numbers": [{**NAMED, "value": WHOLE, "unit": TEXT, "source": TEXT, **LIMITS}],
    "materials?": [MATERIAL],
    "again?": {"batch": TEXT, "lot": TEXT},
}


def check_shape(sheet: Sheet) -> None:
    """Raises SheetMisshapen at the first thing that is not as it must be."""
    for where, wanted in problems(sheet):
        raise SheetMisshapen(where, wanted)


def problems(sheet: Sheet) -> Iterator[Problem]:
    """Where, and what must be there; the graph's operands last."""
    shape = _against(sheet, SHEET, "the sheet")
    first = next(shape, None)
    if first is None:
        yield from graph_problems(sheet["graph"])
    else:
        yield from (first, *shape)


def _against(value: Any, form: Any, where: str) -> Iterator[Problem]:
    match form:
        case str():
            yield from () if _fits(value, form) else ((where, form),)
        case [of]:
            yield from _each(value, of, where)
        case tuple():
            yield from _in_turn(value, form, where)
        case {None: of}:
            yield from () if value is None else _against(value, of, where)
        case {"by its kind": kinds}:
            yield from _of_a_kind(value, kinds, where)
        case {"*": of}:
            yield from _by_name(value, of, where)
        case _:
            yield from _object(value, form, where)


def _fits(value: Any, form: str) -> bool:
    whole = isinstance(value, int) and not isinstance(value, bool) and -FAR < value < FAR
    return {
        TEXT: isinstance(value, str),
        WHOLE: whole,
        POSITIVE: whole and value > 0,
        LIMIT: whole or isinstance(value, str),
        ANY: True,
        DAY: _is_day(value),
        NO_DAY: value == "" or _is_day(value),
    }[form]


def _is_day(value: Any) -> bool:
    try:
        return bool(date.fromisoformat(value).isoformat() == value)
    except (ValueError, TypeError):
        return False


def _each(value: Any, of: Any, where: str) -> Iterator[Problem]:
    if not isinstance(value, list) or len(value) > MOST:
        yield where, f"a list of at most {MOST}"
        return
    for n, item in enumerate(value):
        yield from _against(item, of, f"{where}[{n}]")


def _in_turn(value: Any, forms: tuple[Any, ...], where: str) -> Iterator[Problem]:
    if not isinstance(value, list) or len(value) != len(forms):
        yield where, f"a list of {len(forms)}"
        return
    for n, form in enumerate(forms):
        yield from _against(value[n], form, f"{where}[{n}]")


def _of_a_kind(value: Any, kinds: dict[str, Any], where: str) -> Iterator[Problem]:
    kind = value.get("kind") if isinstance(value, dict) else None
    if not isinstance(kind, str) or kind not in kinds:
        yield f"{where}.kind", f"one of {', '.join(kinds)}"
    else:
        yield from _object(value, kinds[kind], where)


def _by_name(value: Any, of: Any, where: str) -> Iterator[Problem]:
    if not isinstance(value, dict) or len(value) > MOST:
        yield where, f"an object of at most {MOST}"
        return
    for name, item in value.items():
        # `#` parts a name from its number (`rod#5`).
        if "#" in name:
            yield f"{where}.{name[:40]}", "named without #"
        yield from _against(item, of, f"{where}.{name[:40]}")


def _object(value: Any, form: dict[str, Any], where: str) -> Iterator[Problem]:
    if not isinstance(value, dict):
        yield where, "an object"
        return
    for key, of in form.items():
        name = key.rstrip("?")
        if name in value:
            yield from _against(value[name], of, f"{where}.{name}")
        elif name == key:
            yield f"{where}.{name}", "there"
