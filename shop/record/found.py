"""What a boil is listed and found by: its words, its colours, what came of it.

A sheet may come from an older program or another hand: what is not there counts as not said.
"""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from shop.record.balance import mass_balance, yield_of
from shop.record.check import Sheet
from shop.record.steps import State

# One more whenever something else is read than before.
VERSION = 1
SWATCH = re.compile("#[0-9a-f]{6}")
DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
# Stands before the code of what went off, so that a code is found and never part of a word.
OFF = "off:"
MOST_COLOURS, MOST_NAME, MOST_NUMBER = 50, 80, 20
BAGS, PACKED = "bags", "packed"
# What a database keeps as a whole number.
MOST = 2**63 - 1


@dataclass(frozen=True, slots=True)
class Found:
    """A boil in a list: `day` as 2026-11-25 or "", masses [mg], yield [ppm of the log].

    `words`: plain words (`plain_words`) with a blank between; `colours`: swatches likewise.
    """

    day: str
    customer: str
    flavour: str
    order_number: str
    words: str
    colours: str
    bags: int | None
    packed_mg: int | None
    yield_ppm: int | None
    went_off: int


def found_of(sheet: Sheet, state: State) -> Found:
    """What the boil of this sheet is found by, as far as its entries go."""
    order = _dict(sheet.get("order"))
    packed, share = _packed(sheet, state)
    colours = [p.get("swatch") for p in _rows(sheet, "portions")]
    swatches = [c for c in colours if isinstance(c, str) and SWATCH.fullmatch(c)]
    day = _text(sheet.get("day"))
    return Found(
        day=day if DAY.fullmatch(day) else "",
        customer=_text(order.get("customer"))[:MOST_NAME],
        flavour=_text(order.get("flavour"))[:MOST_NAME],
        order_number=_text(order.get("number"))[:MOST_NUMBER],
        words=plain_words(" ".join(_words(sheet, state))),
        colours=" ".join(dict.fromkeys(swatches[:MOST_COLOURS])),
        bags=_whole(state["tallies"].get(BAGS)),
        packed_mg=packed,
        yield_ppm=share,
        went_off=len(state["off"]),
    )


def hardly_found(lot: str, title: str) -> Found:
    """Of a boil whose sheet or entries this program can't read: its lot and its title."""
    words = plain_words(f"{title} {lot}")
    return Found("", "", "", "", words, "", bags=None, packed_mg=None, yield_ppm=None, went_off=0)


def plain_words(text: str) -> str:
    """Text to look for and to be found: one blank between words, no capitals, one way to write ß.

    >>> plain_words("  Große  BEE\\n"), plain_words("ﬁne")
    ('grosse bee', 'fine')
    """
    clean = text.encode("utf-8", "replace").decode().replace("\0", "")
    return " ".join(unicodedata.normalize("NFKC", clean).casefold().split())


def off_word(code: str) -> str:
    """The word by which boils are found where this went off; codes are of marks and checks."""
    return plain_words(f"{OFF}{code}.")


def _words(sheet: Sheet, state: State) -> Iterator[str]:
    """Title, order, picture and its parts, then what people wrote and what went off."""
    order, picture = _dict(sheet.get("order")), _dict(sheet.get("picture"))
    yield from (_text(sheet.get(key)) for key in ("title", "lot"))
    yield from (_text(order.get(key)) for key in ("customer", "flavour", "number"))
    yield _text(picture.get("title"))
    for kind in ("blocks", "parts", "portions"):
        yield from (_text(row.get("name")) for row in _rows(sheet, kind))
    yield from (note["text"] for note in state["notes"])
    says = {row.get("id"): row.get("say") for row in _rows(sheet, "checks")}
    says |= {row.get("id"): row.get("words") for row in _rows(sheet, "marks")}
    for entry in state["off"]:
        mended = entry["mended"] or {"text": ""}
        yield from (_text(says.get(entry["code"])), entry["text"], mended["text"])
        yield off_word(entry["code"])


def _packed(sheet: Sheet, state: State) -> tuple[int | None, int | None]:
    """Mass in bags [mg], and its share of the log [ppm]; None while nothing is in bags."""
    if not _rows(sheet, "balance"):
        return None, None
    balance = mass_balance(sheet, state)
    packed = next((line["mg"] for line in balance["lines"] if line["id"] == PACKED), None)
    return (_whole(packed), _whole(yield_of(balance))) if packed else (None, None)


def _whole(value: int | None) -> int | None:
    return value if value is not None and abs(value) <= MOST else None


def _text(value: Any) -> str:
    return value if isinstance(value, str) else ""


def _dict(value: Any) -> dict[str, Any]:
    return value if isinstance(value, dict) else {}


def _rows(sheet: Sheet, key: str) -> list[dict[str, Any]]:
    rows = sheet.get(key)
    return [row for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []
