"""What went off: what people marked, what a check of the sheet found, what was open at lighting."""

from typing import Any

from shop.plan.evaluate import Figures
from shop.record.check import Sheet
from shop.record.live import Live
from shop.record.order import actor, at, ref_of
from shop.record.progress import Steps, dropped
from shop.record.values import Values

Entry = dict[str, Any]


def deviations(
    sheet: Sheet, live: Live, steps: Steps, values: Values, figures: Figures
) -> list[Entry]:
    """Every went-off entry, derived ones first within a moment, with what was changed."""
    mended = {
        e["body"]["id"]: {"by": actor(e), "at": at(e), "text": e["body"]["text"]}
        for e in live.of("mended")
    }
    entries = [*_open_at_lighting(sheet, live, steps), *_checks(sheet, values, figures)]
    entries += _marked(live)
    ordered = sorted(entries, key=lambda entry: (entry["at"], entry["id"]))
    return [{**entry, "mended": mended.get(entry["id"])} for entry in ordered]


def _entry(ident: str, code: str, at_: int, by: str, **more: Any) -> Entry:
    empty = {"text": "", "what": "", "value": None, "low": None, "high": None}
    return {"id": ident, "code": code, "at": at_, "by": by, **empty, **more}


def _marked(live: Live) -> list[Entry]:
    return [
        _entry(ref_of(e), e["body"]["code"], at(e), actor(e), text=e["body"].get("text", ""))
        for e in live.of("went_off")
    ]


def _open_at_lighting(sheet: Sheet, live: Live, steps: Steps) -> list[Entry]:
    """The kettle was lit while stop items were open: true, possible, and kept by name."""
    lit = next((s for k, s in steps.items() if _marks_lit(sheet, k, s)), None)
    if lit is None:
        return []
    gone = dropped(live)
    still = [
        item
        for item in sheet["stop_items"]
        if item not in gone and not _done_by(steps.get(item), lit["at"])
    ]
    what = ",".join(still)
    return [_entry("check:lit_open", "lit_open", lit["at"], lit["by"], what=what)] if still else []


def _marks_lit(sheet: Sheet, key: str, step: Entry) -> bool:
    return "#" not in key and step["state"] == "done" and sheet["steps"][key]["moment"] == "lit"


def _done_by(step: Entry | None, moment: int) -> bool:
    return step is not None and step["state"] == "done" and step["at"] <= moment


def _checks(sheet: Sheet, values: Values, figures: Figures) -> list[Entry]:
    return [entry for check in sheet["checks"] for entry in _check(check, values, figures)]


def _check(check: Entry, values: Values, figures: Figures) -> list[Entry]:
    """A figure is held against its limits once; without one every reading is, by itself."""
    keys = [key for key in values if key.split("#")[0] == check["record"]]
    if check["figure"]:
        newest = max(keys, key=lambda key: (values[key]["at"], key), default=None)
        seen = [(newest, figures.get(check["figure"]))] if newest else []
    else:
        seen = [(key, values[key]["value"]) for key in keys]
    low, high = (_limit(check[side], figures) for side in ("low", "high"))
    return [
        _found(check, key, values[key], value, low, high)
        for key, value in seen
        if value is not None and low is not None and high is not None and not low <= value <= high
    ]


def _found(
    check: Entry, key: str, reading: Entry, value: int, low: int | None, high: int | None
) -> Entry:
    ident = f"check:{check['id']}" if check["figure"] else f"check:{check['id']}:{key}"
    limits = {"value": value, "low": low, "high": high}
    return _entry(ident, check["id"], reading["at"], reading["by"], what=key, **limits)


def _limit(limit: int | str, figures: Figures) -> int | None:
    return figures.get(limit) if isinstance(limit, str) else limit
