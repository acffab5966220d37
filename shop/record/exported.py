"""The record as a file that stands by itself: sheet, entries as made, and all that follows.

From the first two the rest is made again, so a changed file is told, and named where it changed.
Each entry's link hangs on the one before: lₙ = SHA-256 of lₙ₋₁ and the line, l₀ the sheet's hash.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from typing import Any

from shop.plan.canonical import DEEPEST, canonical, is_deep
from shop.plan.check_sheet import check_sheet
from shop.plan.errors import PlanError
from shop.plan.sheet_shape import check_shape
from shop.record import fold as folding
from shop.record.check import Sheet, decode
from shop.record.errors import NotAnEvent, NotARecord, RecordChanged
from shop.record.report import report
from shop.record.steps import State

Record = dict[str, Any]
KIND, VERSION = "record", 1
NEEDED = {"sheet": dict, "people": list, "entries": list, "log": dict}


def exported(sheet: Sheet, kept: Mapping[str, Any], state: State) -> Record:
    """The whole record; `kept` is what it is made of.

    `kept`: `people` who came after the sheet was frozen, `entries` as `linked` gives them, `log`:
    where they end in the shop's own log; `melted`: lot and mass [mg] of each scrap that went in.
    """
    events = [json.loads(entry["line"]) for entry in kept["entries"]]
    full = {**sheet, "people": [*sheet["people"], *kept["people"]]}
    received = {
        f"{event['device']}:{event['seq']}": entry["received"]
        for event, entry in zip(events, kept["entries"], strict=True)
    }
    melted = sum(scrap["mg"] for scrap in kept.get("melted", []))
    head = {"kettleside": KIND, "v": VERSION, "fold": folding.VERSION}
    return {
        **head,
        **report(full, events, state, received, melted),
        "kept": {"sheet": sheet, **kept},
    }


def linked(sheet_hash: str, rows: Sequence[tuple[str, int, str]]) -> list[dict[str, Any]]:
    """Entries from (line, received [ms], device that carried it or ""), each with its link."""
    link, found = sheet_hash, []
    for line, received, carrier in rows:
        link = _link(link, line, received, carrier)
        found.append({"line": line, "received": received, "carrier": carrier, "link": link})
    return found


def _link(before: str, line: str, received: int, carrier: str) -> str:
    return hashlib.sha256(f"{before}\n{received}\n{carrier}\n{line}".encode()).hexdigest()


def as_text(record: Record) -> str:
    """The file of a record: JSON that two programs can compare line by line."""
    return json.dumps(record, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def from_text(text: str) -> Record:
    """The same record from its file alone.

    Raises NotARecord where it is none; RecordChanged, which names the first thing that is not as
    it was made. A file of an older program is made anew as this one sees it.
    """
    told = _opened(text)
    kept = told["kept"]
    events = _whole(kept)
    try:
        check_shape(kept["sheet"])
        check_sheet(kept["sheet"])
        found = exported(kept["sheet"], kept, folding.fold(kept["sheet"], events))
    except (PlanError, KeyError, TypeError, ValueError, AttributeError) as bad:
        raise NotARecord(f"its sheet can't be used: {bad!r}") from bad
    if told["fold"] == folding.VERSION:
        _same(told, found)
    return found


def _opened(text: str) -> Record:
    try:
        told = json.loads(text)
    except (ValueError, RecursionError) as bad:
        raise NotARecord(f"it is not one whole JSON object: {bad}") from bad
    if is_deep(told):
        raise NotARecord(f"something in it is nested more than {DEEPEST} deep")
    if not isinstance(told, dict) or told.get("kettleside") != KIND:
        raise NotARecord('it does not begin with "kettleside": "record"')
    if told.get("v") != VERSION:
        raise NotARecord(f"its version is {told.get('v')!r}, this program reads {VERSION}")
    kept = told.get("kept")
    for name, kind in NEEDED.items():
        if not isinstance(kept, dict) or not isinstance(kept.get(name), kind):
            raise NotARecord(f"it has no {name} to make the record from")
    return told


def _whole(kept: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The entries as events, every link of them held against its line."""
    link, events = sheet_hash(kept["sheet"]), []
    if link != kept["log"].get("sheet"):
        raise RecordChanged("The sheet", str(kept["log"].get("sheet")), link)
    for number, entry in enumerate(kept["entries"], 1):
        where = f"Entry {number}"
        try:
            told = (entry["line"], entry["received"], entry["carrier"])
            link = _link(link, *told)
            events.append(decode(entry["line"]))
        except (NotAnEvent, TypeError, KeyError, UnicodeEncodeError) as bad:
            raise NotARecord(f"its entry {number} can't be read: {bad}") from bad
        if entry.get("link") != link:
            raise RecordChanged(where, str(entry.get("link")), link)
    if kept["log"].get("entries") != link:
        raise RecordChanged("The end of the entries", str(kept["log"].get("entries")), link)
    return events


def sheet_hash(sheet: Sheet) -> str:
    """The sheet's name: SHA-256 of its canonical bytes, in hex. Raises NotARecord."""
    try:
        return hashlib.sha256(canonical(sheet).encode()).hexdigest()
    except (TypeError, UnicodeEncodeError) as bad:
        raise NotARecord(f"its sheet is none: {bad}") from bad


def _same(told: Record, found: Record) -> None:
    """Every page of the file is what its entries give."""
    for name in sorted({*told, *found}):
        if told.get(name) != found.get(name):
            was, now = (_short(record.get(name)) for record in (told, found))
            raise RecordChanged(f"“{name}”", was, now)


def _short(value: Any) -> str:
    return hashlib.sha256(json.dumps(value, sort_keys=True).encode()).hexdigest()
