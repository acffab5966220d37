"""What each line of a push is, before anything is locked or written."""

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from shop.record.check import decode, is_unread, misfit, say_misfit
from shop.record.errors import NotAnEvent
from shop.store.chain import as_browser_bytes, as_bytes, sha256hex
from shop.store.errors import NotHere
from shop.store.plain import ids_of_batches
from shop.store.shapes import Chain
from shop.store.sheets import outline_of

BATCH_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}")


@dataclass(frozen=True, slots=True)
class Known:
    """A batch the shop has: its row, and the hash of its sheet."""

    id: int
    key: str
    sheet: str


@dataclass(slots=True)
class Line:
    """One line at its place; `event` is None when it must be set aside for `reason`."""

    seq: int
    text: str
    raw: bytes
    sha256: str
    event: dict[str, Any] | None = None
    batch: Known | None = None
    reason: str = ""
    say: str = ""
    unfiled: str = ""
    unfiled_say: str = ""


def judge(shop_id: int, chains: Iterable[Chain]) -> list[tuple[Chain, list[Line]]]:
    """Every line of every chain, decoded and held against batch and sheet."""
    read = [(chain, [_read(chain, i) for i in range(len(chain.lines))]) for chain in chains]
    lines = [line for _, of_chain in read for line in of_chain if line.event is not None]
    known = known_batches(shop_id, {line.event["batch"] for line in lines if line.event})
    for line in lines:
        _place(shop_id, line, known)
    return read


def known_batches(shop_id: int, keys: set[str]) -> dict[str, Known]:
    """The batches of this shop among these ids."""
    sound = [key for key in keys if BATCH_ID.fullmatch(key)]
    return {key: Known(pk, key, sheet) for pk, key, sheet in ids_of_batches(shop_id, sound)}


def _read(chain: Chain, i: int) -> Line:
    text = chain.lines[i]
    raw = as_bytes(text)
    line = Line(chain.from_seq + i, text, raw, sha256hex(raw))
    try:
        line.event = _sound(decode(text), chain.device, line)
    except NotAnEvent as bad:
        line.reason, line.say = bad.code, bad.say
    return line


def _sound(event: dict[str, Any], device: str, line: Line) -> dict[str, Any]:
    """The event, if it stands where it says and on one line."""
    if event["device"] != device:
        raise NotAnEvent("device", f"{shown(event['device'])} in the chain of {shown(device)}.")
    if event["seq"] != line.seq:
        raise NotAnEvent("seq", f"`seq` is {event['seq']} at place {line.seq}; both must be equal.")
    if "\n" in line.text or "\r" in line.text:
        raise NotAnEvent("line", "An event is one line; this one has a line break in it.")
    return event


def _place(shop_id: int, line: Line, known: dict[str, Known]) -> None:
    event = line.event or {}
    line.batch = known.get(event["batch"])
    if line.batch is None:
        line.event, line.reason = None, "batch"
        line.say = f"Batch {shown(event['batch'])} is not one of this shop's. Ask the office."
    elif not is_unread(event):
        line.unfiled, line.unfiled_say = unfiled(shop_id, line.batch, event)


def unfiled(shop_id: int, batch: Known, event: dict[str, Any]) -> tuple[str, str]:
    """Code and sentence of an event that the sheet has no place for; two empty texts if it has."""
    try:
        sheet = outline_of(shop_id, batch.sheet)
    except NotHere:
        return "", ""
    code = misfit(sheet, event)
    return (code, say_misfit(code, sheet, event)) if code else ("", "")


def browser_bytes(line: Line) -> bytes:
    """What the device's own head hash was made of."""
    return line.raw if line.event is not None else as_browser_bytes(line.text)


def shown(value: object) -> str:
    """A value in a sentence: short, and nothing in it that could not be stored."""
    return json.dumps(value)[:60]
