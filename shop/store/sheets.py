"""Frozen sheets, by the hash of their canonical text."""

import json
from functools import lru_cache
from typing import Any

from shop.models import Sheet
from shop.plan.canonical import DEEPEST, canonical, is_deep
from shop.store.chain import sha256hex
from shop.store.errors import BadSheet, NotHere

NEEDED = ("batch", "lot", "title", "boil", "steps", "records", "graph", "people")


def sheet_text(shop_id: int, sheet_hash: str) -> str:
    """The canonical text of a sheet. Raises NotHere."""
    text = Sheet.objects.filter(shop_id=shop_id, hash=sheet_hash).values_list("text", flat=True)
    # PostgreSQL refuses the character NUL in a query; no hash holds one.
    if "\0" in sheet_hash or (found := text.first()) is None:
        raise NotHere("sheet", sheet_hash)
    return found


@lru_cache(maxsize=64)
def sheet_of(shop_id: int, sheet_hash: str) -> dict[str, Any]:
    """The sheet; callers share it and must not change it. Raises NotHere."""
    sheet: dict[str, Any] = json.loads(sheet_text(shop_id, sheet_hash))
    return sheet


@lru_cache(maxsize=1024)
def outline_of(shop_id: int, sheet_hash: str) -> dict[str, Any]:
    """Of a sheet only what an event is held against: batch, steps, records. Raises NotHere.

    Every push asks for it, so it must be at hand for all boils that many shops have open, where
    so many whole sheets would take half a gigabyte of each process.
    """
    sheet = json.loads(sheet_text(shop_id, sheet_hash))
    records = {key: _record(canonical(record)) for key, record in sheet["records"].items()}
    return {"batch": sheet["batch"], "steps": frozenset(sheet["steps"]), "records": records}


@lru_cache(maxsize=4096)
def _record(text: str) -> dict[str, Any]:
    """Sheets made in one way have nearly all their records in common: each is kept once."""
    record: dict[str, Any] = json.loads(text)
    return record


def freeze(*, shop_id: int, sheet: dict[str, Any]) -> Sheet:
    """Store the sheet under its hash, once. Call it inside a transaction. Raises BadSheet."""
    text = frozen_text(sheet)
    name = sha256hex(text.encode())
    found = Sheet.objects.filter(shop_id=shop_id, hash=name).first()
    return found or Sheet.objects.create(shop_id=shop_id, hash=name, text=text)


def frozen_text(sheet: dict[str, Any]) -> str:
    """The text to freeze. Raises BadSheet where it is not one."""
    if is_deep(sheet):
        raise BadSheet(f"something in it is nested more than {DEEPEST} deep.")
    missing = [key for key in NEEDED if key not in sheet]
    if missing:
        raise BadSheet(f"it has no {', '.join(missing)}.")
    try:
        text = canonical(sheet)
        text.encode()
    except (TypeError, UnicodeEncodeError) as bad:
        raise BadSheet(f"{bad}.") from bad
    return text
