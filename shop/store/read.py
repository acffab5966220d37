"""Reading the log."""

import json
from typing import Any

from django.db import DatabaseError
from django.db.models import QuerySet, Sum

from shop.models import Aside, Event, ScrapMove, Shop
from shop.record.exported import exported, linked
from shop.store import rebuild
from shop.store.access import access_batch
from shop.store.plain import batches_for, lines_of, people_of
from shop.store.shapes import AsideInfo, BatchInfo, Pull, ShopInfo
from shop.store.sheets import sheet_of

LOOKED_BACK = 2000


def batch_state(batch: BatchInfo) -> dict[str, Any]:
    """The state of a batch now (docs/contracts.md, section 4)."""
    return rebuild.state_of(batch.id)


def batch_states(batches: list[BatchInfo]) -> dict[str, dict[str, Any]]:
    """The states of these batches now, by id of the batch."""
    states = rebuild.states_of([batch.id for batch in batches])
    return {batch.key: states[batch.id] for batch in batches}


def batch_sheet(batch: BatchInfo) -> dict[str, Any]:
    """The frozen sheet of a batch; callers share it and must not change it."""
    return sheet_of(batch.shop_id, batch.sheet)


def batch_events(batch: BatchInfo) -> list[dict[str, Any]]:
    """Every event of a batch in the order of the shop's log."""
    return [json.loads(line) for line in batch_lines(batch)]


def batch_lines(batch: BatchInfo) -> list[str]:
    """Every event line of a batch as it was made, in the order of the shop's log."""
    return list(_of(batch).values_list("line", flat=True))


def batch_carried(batch: BatchInfo) -> dict[str, str]:
    """Ref `device:seq` → the device that brought it, for events brought by another's phone."""
    rows = _of(batch).exclude(carried_by=None)
    found = rows.values_list("device__key", "seq", "carried_by__key")
    return {f"{device}:{seq}": str(carrier) for device, seq, carrier in found}


def batch_ahead(batch: BatchInfo) -> dict[str, int]:
    """Ref → how far its clock stood ahead of the receipt [ms], where that was over five minutes."""
    rows = _of(batch).filter(ahead__gt=0)
    found = rows.values_list("device__key", "seq", "ahead")
    return {f"{device}:{seq}": ahead for device, seq, ahead in found}


def batch_report(batch: BatchInfo) -> dict[str, Any]:
    """The whole record of a batch as data, with all it is made of (shop/record/exported.py)."""
    rows = list(_of(batch).values_list("line", "received", "carried_by__key", "chain"))
    kept = {
        "people": _newcomers(batch, [json.loads(line) for line, *_ in rows]),
        "entries": linked(batch.sheet, [(line, at, by or "") for line, at, by, *_ in rows]),
        "melted": _melted(batch),
    }
    log = {
        "sheet": batch.sheet,
        "entries": kept["entries"][-1]["link"] if rows else batch.sheet,
        **{"position": batch.position, "head": rows[-1][3] if rows else ""},
    }
    return exported(batch_sheet(batch), {**kept, "log": log}, batch_state(batch))


def _melted(batch: BatchInfo) -> list[dict[str, Any]]:
    """Scrap of other boils that went into this one, by lot."""
    rows = ScrapMove.objects.filter(batch_id=batch.id).values_list("scrap__batch__lot")
    found = rows.annotate(mg=Sum("mg")).order_by("scrap__batch__lot")
    return [{"lot": lot, "mg": mg} for lot, mg in found]


def _newcomers(batch: BatchInfo, events: list[dict[str, Any]]) -> list[dict[str, str]]:
    """Those who came after the sheet was frozen and pressed."""
    known = {person["id"] for person in batch_sheet(batch)["people"]}
    pressed = {event.get(key) for event in events for key in ("by", "for")} - known
    came = [p for p in people_of(batch.shop_id) if p.key in pressed]
    return [{"id": p.key, "name": p.name, "role": p.role} for p in came]


def asides(shop_id: int, *, most: int | None = None) -> list[AsideInfo]:
    """What could not be filed, newest first, at most so many."""
    rows = Aside.objects.filter(shop_id=shop_id).select_related("carried_by").order_by("-pk")
    return [_aside(row) for row in rows[:most]]


def count_asides(shop_id: int) -> int:
    """How much could not be filed."""
    return Aside.objects.filter(shop_id=shop_id).count()


def head(shop_id: int) -> int:
    """Where the shop's log stands."""
    newest = Event.objects.filter(shop_id=shop_id).order_by("-position")
    return newest.values_list("position", flat=True).first() or 0


def newest_receipt(shop_id: int) -> int | None:
    """When an entry of the log was received last, by this computer's clock then [ms].

    Of the last 2000, not of the last one: what comes after a clock was set back bears the wrong
    time itself, and would make the clock look right.
    """
    newest = Event.objects.filter(shop_id=shop_id).order_by("-position")
    return max(newest.values_list("received", flat=True)[:LOOKED_BACK], default=None)


def can_read() -> bool:
    """Whether the database answers at all."""
    try:
        Shop.objects.exists()
    except DatabaseError:
        return False
    return True


def pull(shop: ShopInfo, after: int, subscribed: list[str] | None) -> Pull:
    """What a phone lacks that has seen the log up to `after`.

    With `after` = 0 all events of open batches and of those it asks for. Later, those of the
    batches it asks for and of batches opened since; without a list, all. `shop.head` is the end:
    whatever is committed later has a higher position, because positions are given out under the
    counter's lock.
    """
    found = batches_for(shop.id, after, subscribed)
    sent = [b.id for b in found if not after or _sends(b, after, subscribed)]
    return Pull(shop, shop.head, found, lines_of(sent, after, shop.head))


def _sends(batch: BatchInfo, after: int, subscribed: list[str] | None) -> bool:
    return subscribed is None or batch.key in subscribed or batch.opened_position > after


def pull_batch(shop: ShopInfo, key: str) -> Pull:
    """One batch, open or not, whole. Raises NotHere."""
    batch = access_batch(shop.id, key)
    return Pull(shop, shop.head, [batch], batch_lines(batch))


def _of(batch: BatchInfo) -> QuerySet[Event]:
    return Event.objects.filter(batch_id=batch.id).order_by("position")


def _aside(row: Aside) -> AsideInfo:
    text = bytes(row.line).decode("utf-8", "replace")
    carrier = row.carried_by.key if row.carried_by else ""
    return AsideInfo(row.device, row.seq, row.reason, row.say, text, row.received, carrier)
