"""A shop with years behind it, for the pages of the office: `fill` beside a store of its own.

Boils are the demo's finished one again and again: its sheet under another title, day, customer and
colour, its very entries at other moments with some more of them, in chains that hold. What is read
from them is read by the program itself (`facts.refresh`), as after an update.
"""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db import transaction

from shop.demo.scenario import DAY
from shop.models import Batch, Device, Sheet, Shop
from shop.plan.canonical import canonical
from shop.record.check import decode
from shop.store import facts, moves, read
from shop.store.access import access_batch
from shop.store.chain import device_head, sha256hex, shop_link
from shop.store.shapes import ShopInfo

AT_ONCE = 100
DAY_MS = 86_400_000
ENTRIES_EACH = 200
KEY = "demo-finished"
SEQ, KEPT, PHONE, MOMENT = 8_888_888_888, "BATCH-HERE", "PHONE-HERE", 9_999_999_999_999
TITLES = (
    "Heron",
    "Robin",
    "Anchor",
    "Lighthouse",
    "Clover",
    "Acorn",
    "Kettle",
    "Fox",
    "Star",
    "Windmill",
    "Plum",
    "Owl",
)
FLAVOURS = ("quince and lemon balm", "pear", "rhubarb", "aniseed", "blackcurrant", "ginger")
COLOURS = ("#f2c230", "#c8202c", "#2f8f4e", "#2457a6", "#7b3fa0", "#e5792a")
REMARKS = ("Turned twice", "Streak at the edge", "Good shine", "Cold draught from the door")
MARKS = ("grain", "stiff", "sag", "streak", "cold_joint", "colour_off")


@dataclass
class Phones:
    """The devices of old: how far each is."""

    rows: list[Device]

    def __post_init__(self) -> None:
        self.heads = [""] * len(self.rows)
        self.seqs = [0] * len(self.rows)


@dataclass(frozen=True)
class Entry:
    """One entry to be made again: by which device, how long after the boil's day began [ms]."""

    phone: int
    after: int
    text: str

    def line(self, batch: str, phone: str, seq: int, begun: int) -> str:
        text = self.text.replace(KEPT, batch).replace(str(SEQ), str(seq)).replace(PHONE, phone)
        return text.replace(str(MOMENT), str(begun + self.after))


def fill(shop: ShopInfo, boils: int, *, start: int = 0) -> int:
    """So many closed boils, numbered from `start`; how many entries the invented shop then has."""
    row: Shop = Shop.objects.get(pk=shop.id)
    entries, sheet = _entries(shop), read.batch_sheet(access_batch(shop.id, KEY))
    phones = Phones(_phones(row, f"old{start}", sorted({e.phone for e in entries})))
    text, begun = canonical(sheet), _begun(shop)
    for first in range(start, start + boils, AT_ONCE):
        with transaction.atomic():
            for n in range(first, min(first + AT_ONCE, start + boils)):
                _boil(row, phones, entries, _sheet(text, n), (n, begun))
            row.save()
            moves.move_devices(_moved(phones))
    with transaction.atomic():
        facts.refresh(shop.id)
    return int(row.head)


def _entries(shop: ShopInfo) -> list[Entry]:
    """The invented boil's entries without its handovers' refs, and more of the usual ones."""
    events = [e for e in read.batch_events(access_batch(shop.id, KEY)) if "target" not in e["body"]]
    phones = {device: n for n, device in enumerate(dict.fromkeys(e["device"] for e in events))}
    begun = min(e["happened"] for e in events)
    closing = [e for e in events if e["kind"] == "batch_closed"]
    made = [e for e in events if e["kind"] not in ("batch_opened", "batch_closed")]
    gauges = [e for e in made if e["body"].get("what") == "gauge"]
    while len(made) + len(closing) + 1 < ENTRIES_EACH:
        made.append({**gauges[-1], "nth": len(made), "happened": made[-1]["happened"] + 1000})
    opened = next(e for e in events if e["kind"] == "batch_opened")
    return [_entry(e, phones, begun) for e in (opened, *made, *closing)]


def _entry(event: dict[str, Any], phones: dict[str, int], begun: int) -> Entry:
    phone = phones[event["device"]]
    plain = {**event, "device": PHONE, "seq": SEQ, "batch": KEPT, "hlc": [MOMENT, 0]}
    return Entry(
        phone,
        max(event["happened"] - begun, 0),
        canonical({**plain, "recorded": MOMENT, "happened": MOMENT}),
    )


def _phones(shop: Shop, tag: str, numbers: list[int]) -> list[Device]:
    return [
        Device.objects.create(
            shop=shop,
            key=f"{tag}-{n}",
            name=f"Old phone {n}",
            added=0,
            token_sha256=sha256hex(f"{tag}-{n}".encode()),
        )
        for n in numbers
    ]


def _begun(shop: ShopInfo) -> int:
    begun: int = min(e["happened"] for e in read.batch_events(access_batch(shop.id, KEY)))
    return begun


def _sheet(text: str, n: int) -> str:
    """Another boil's sheet: its text with other words in it."""
    day = date.fromisoformat(DAY) - timedelta(days=1 + n // 4)
    title = f"{TITLES[n % len(TITLES)]} {n % 97}"
    for old, new in (
        (KEY, f"old-{n}"),
        ("L6329A", f"L{n:05d}A"),
        (DAY, day.isoformat()),
        ("Beehive", title),
        ("quince and lemon balm", FLAVOURS[n % len(FLAVOURS)]),
        ("An invented customer", f"Customer {n % 400}"),
        ("W-0117", f"W-{n:05d}"),
        ("#4a2811", COLOURS[n % len(COLOURS)]),
    ):
        text = text.replace(old, new)
    return text


def _boil(
    shop: Shop, phones: Phones, entries: list[Entry], text: str, which: tuple[int, int]
) -> None:
    """One boil with all its rows; the counter, the chain and the heads move in memory."""
    n, begun = which
    sheet = Sheet.objects.create(shop=shop, hash=sha256hex(text.encode()), text=text)
    batch = Batch.objects.create(
        shop=shop,
        key=f"old-{n}",
        lot=f"L{n:05d}A",
        letter="A",
        pattern="stripe",
        title=f"{TITLES[n % len(TITLES)]} {n % 97}, {FLAVOURS[n % len(FLAVOURS)]}",
        sheet=sheet,
        phase="closed",
        opened_position=shop.head + 1,
        position=shop.head + len(entries),
    )
    moment = begun - DAY_MS * (1 + n // 4)
    lines = _lines(entries, phones, batch.key, sheet.hash, moment)
    moves.insert_events(list(_rows(shop, phones, batch, lines, moment)))


def _lines(
    entries: list[Entry], phones: Phones, key: str, sheet: str, begun: int
) -> Iterator[tuple[int, int, str]]:
    """Phone, number and text of each entry, by the codec's own judgement for the first boil."""
    chance = random.Random(key)
    for n, entry in enumerate(entries):
        phones.seqs[entry.phone] += 1
        seq = phones.seqs[entry.phone]
        line = entry.line(key, phones.rows[entry.phone].key, seq, begun)
        text = _another(line, n, sheet, chance)
        if seq < ENTRIES_EACH:
            assert canonical(decode(text)) == text
        yield entry.phone, seq, text


def _another(text: str, n: int, sheet: str, chance: random.Random) -> str:
    """The opening with its own sheet; one remark of several; in every third boil a mark."""
    if n == 0:
        event = decode(text)
        return canonical({**event, "body": {**event["body"], "sheet": sheet}})
    if n == ENTRIES_EACH - 3:
        kind, body = "note_written", {"text": chance.choice(REMARKS)}
        if chance.random() < 1 / 3:
            kind, body = "went_off", {"code": chance.choice(MARKS)}
        event = decode(text)
        plain = {k: v for k, v in event.items() if k not in ("nth", "step")}
        return canonical({**plain, "kind": kind, "body": body})
    return text


def _rows(
    shop: Shop, phones: Phones, batch: Batch, lines: Iterator[tuple[int, int, str]], moment: int
) -> Iterator[moves.Row]:
    for phone, seq, text in lines:
        raw = text.encode()
        phones.heads[phone] = device_head(phones.heads[phone], raw)
        shop.head += 1
        shop.head_hash = shop_link(shop.head_hash, shop.head, moment, "", text)
        device = phones.rows[phone].pk
        row = (shop.pk, shop.head, device, seq, batch.pk, text, sha256hex(raw))
        yield *row, moment, 0, None, shop.head_hash


def _moved(phones: Phones) -> list[Device]:
    for device, seq, head in zip(phones.rows, phones.seqs, phones.heads, strict=True):
        device.head_seq = device.told_seq = seq
        device.head_hash = device.told_hash = head
    return phones.rows
