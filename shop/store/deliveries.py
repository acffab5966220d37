"""Packs that go out of a boil: to an order, over the counter, and those that come back.

A delivery is never changed; packs that come back are a delivery of fewer than none.
"""

import secrets

from django.db import transaction
from django.db.models import QuerySet, Sum

from shop.models import Batch, Delivery, Order
from shop.plan.orders.said import day_said, packs_together
from shop.store import rebuild
from shop.store.access import one_row
from shop.store.clock import now_ms
from shop.store.errors import NotHere, OutOfRange
from shop.store.order_entries import write
from shop.store.order_shapes import DeliveryInfo
from shop.store.orders import locked

BAGS = "bags"
MOST_PACKS = 100_000
BEFORE = ("planned", "made", "packed")


def deliver(
    *,
    shop_id: int,
    batch: str,
    order: str,
    packs: int,
    day: str,
    note: str = "",
    by: str = "",
    key: str = "",
    at: int | None = None,
) -> str:
    """Packs of a boil go out on a day; fewer than none: they come back. Its key; one `key` goes
    out once. `order` "": over the counter.

    An order that has all its packs is delivered; one that got some back is packed again. Locks the
    boil's row. Raises NotHere, OutOfRange, OrderWrong; then nothing was written.
    """
    plain = day_said("The day", day)
    if not plain:
        raise OutOfRange("The day", day, "a day", "as 2026-12-04")
    with transaction.atomic():
        boils = Batch.objects.select_for_update(no_key=True).filter(shop_id=shop_id, key=batch)
        boil: Batch = one_row(boils, "batch", batch)
        if key and Delivery.objects.filter(shop_id=shop_id, key=key).exists():
            return key
        row = locked(shop_id, order) if order else None
        _check(boil, row, packs)
        moment = now_ms() if at is None else at
        values = {"packs": packs, "day": plain, "note": note[:200], "by": by, "at": moment}
        own = key or secrets.token_hex(12)
        Delivery.objects.create(shop_id=shop_id, key=own, batch=boil, order=row, **values)
        if row:
            _told(row, boil, packs, by, moment)
    return own


def deliveries(
    shop_id: int, *, batch: str = "", order: str = "", counter: bool = False, most: int = 200
) -> list[DeliveryInfo]:
    """The newest first: of a boil, of an order, over the counter, or all."""
    rows = Delivery.objects.filter(shop_id=shop_id).select_related("batch", "order")
    if batch:
        rows = rows.filter(batch__key=batch)
    if order:
        rows = rows.filter(order__number=order)
    if counter:
        rows = rows.filter(order=None)
    return [_info(row) for row in rows.order_by("-pk")[:most]]


def packed(shop_id: int, batch: str) -> int | None:
    """How many packs this boil gave; None where nobody counted. Raises NotHere."""
    rows = Batch.objects.filter(shop_id=shop_id, key=batch)
    return _bags(one_row(rows, "batch", batch))


def gone(shop_id: int, batch: str) -> int:
    """How many packs of this boil are out."""
    return _sum(Delivery.objects.filter(shop_id=shop_id, batch__key=batch))


def had(shop_id: int, order: str) -> int:
    """How many packs this order has had."""
    return _sum(Delivery.objects.filter(shop_id=shop_id, order__number=order))


def _check(boil: Batch, row: Order | None, packs: int) -> None:
    """No more go out than were packed, no more come back than went. Raises OutOfRange, NotHere."""
    if packs == 0:
        raise OutOfRange("Packs", packs, 1, MOST_PACKS)
    if boil.phase not in ("open", "closed"):
        raise NotHere("boil that was made", boil.key)
    out = _sum(Delivery.objects.filter(batch=boil))
    bags = _bags(boil)
    left = MOST_PACKS if bags is None else bags - out
    same = Delivery.objects.filter(batch=boil, order=row)
    if not -_sum(same) <= packs <= left:
        raise OutOfRange(f"Packs of {boil.lot}", packs, -_sum(same), left)


def _bags(boil: Batch) -> int | None:
    found = rebuild.state_of(boil.pk)["tallies"].get(BAGS)
    return None if found is None else int(found)


def _sum(rows: QuerySet[Delivery]) -> int:
    return rows.aggregate(n=Sum("packs"))["n"] or 0


def _told(row: Order, boil: Batch, packs: int, by: str, at: int) -> None:
    """In the order's history, and what it means for its stage."""
    count, _ = packs_together(row.said)
    all_of_it = count and _sum(Delivery.objects.filter(order=row)) >= count
    what, words = ("sent", "out") if packs > 0 else ("came_back", "came back")
    sets = {}
    if all_of_it and row.stage in BEFORE:
        sets = {"stage": "delivered"}
    if not all_of_it and row.stage == "delivered":
        sets = {"stage": "packed"}
    write(row, what, by=by, sets=sets, note=f"{abs(packs)} packs of {boil.lot} {words}", at=at)


def _info(row: Delivery) -> DeliveryInfo:
    order = row.order.number if row.order else ""
    boil = (row.batch.key, row.batch.lot)
    return DeliveryInfo(row.key, *boil, order, row.packs, row.day, row.at, row.by, row.note)
