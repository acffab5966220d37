"""Both ways through the shop: from a lot to whoever got packs of it, and from packs to every lot.

Each way is a fixed number of queries, however many boils there are.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import F, Max, Min, Q, Sum

from shop.models import Batch, Delivery, LotUse, Order
from shop.store.facts import refresh
from shop.store.genealogy import Ways, melted, reached
from shop.store.stock import LotInfo, find_lots, lots_where

MOST_FOUND = 12


@dataclass(frozen=True, slots=True)
class BoilTraced:
    """A boil on the way: its packs (None: not counted), how many are out, the boils (lots) whose
    scrap it holds; `direct`: one that was asked for, or that took of the lot itself."""

    key: str
    lot: str
    title: str
    phase: str
    day: str
    packs: int | None
    out: int
    scrap_of: tuple[str, ...]
    direct: bool


@dataclass(frozen=True, slots=True)
class PacksOut:
    """Packs of a boil that went to an order, or over the counter (`order` ""), on these days."""

    boil: str
    order: str
    customer: str
    reach: str
    packs: int
    first: str
    last: str


@dataclass(frozen=True, slots=True)
class LotTraced:
    """A lot on the way, and the boils (lots) it is in as far as they were asked for."""

    lot: LotInfo
    boils: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Traced:
    """What hangs together: lots, the boils between, and who got packs of these."""

    lots: tuple[LotTraced, ...]
    boils: tuple[BoilTraced, ...]
    out: tuple[PacksOut, ...]


def onward(shop_id: int, *, lots: Iterable[str] = (), boils: Iterable[str] = ()) -> Traced:
    """From these lots, and these boils, to every boil that holds any of it and all its packs."""
    refresh(shop_id)
    asked = LotUse.objects.filter(shop_id=shop_id, lot__key__in=list(lots), lot__shop_id=shop_id)
    named = Batch.objects.filter(shop_id=shop_id, key__in=list(boils))
    start = {*asked.values_list("batch_id", flat=True), *named.values_list("pk", flat=True)}
    to, from_ = melted(shop_id)
    found = reached(to, start)
    named_lots = lots_where(shop_id, key__in=list(lots)).values()
    return Traced(
        lots=tuple(LotTraced(lot, ()) for lot in named_lots),
        boils=_boils(found, start, from_),
        out=_out(shop_id, found),
    )


def back(shop_id: int, boils: Iterable[str]) -> Traced:
    """From these boils to every lot that is in them, through whatever scrap was melted in."""
    refresh(shop_id)
    named = Batch.objects.filter(shop_id=shop_id, key__in=list(boils))
    start = set(named.values_list("pk", flat=True))
    _, from_ = melted(shop_id)
    found = reached(from_, start)
    return Traced(_lots_in(shop_id, found), _boils(found, start, from_), _out(shop_id, start))


def boils_of_order(shop_id: int, number: str) -> list[str]:
    """Ids of the boils an order got packs of, or has planned."""
    sent = Q(deliveries__order__number=number, deliveries__order__shop_id=shop_id)
    made = Q(for_orders__order__number=number, for_orders__order__shop_id=shop_id)
    rows = Batch.objects.filter(sent | made, shop_id=shop_id)
    return list(rows.order_by("pk").values_list("key", flat=True).distinct())


@dataclass(frozen=True, slots=True)
class Found:
    """What some words may mean: lots, boils `(id, lot, title)`, orders `(number, title, who)`."""

    lots: list[LotInfo]
    boils: list[tuple[str, str, str]]
    orders: list[tuple[str, str, str]]


def find(shop_id: int, words: str) -> Found:
    """A mark of a sack, a lot on a pack, an order or a customer; a part of it will do."""
    if not words or "\0" in words:
        return Found([], [], [])
    boils = Batch.objects.filter(shop_id=shop_id).filter(
        Q(lot__icontains=words) | Q(key__iexact=words)
    )
    orders = Order.objects.filter(shop_id=shop_id).filter(
        Q(number__icontains=words) | Q(customer__name__icontains=words)
    )
    return Found(
        lots=find_lots(shop_id, words, most=MOST_FOUND),
        boils=list(boils.order_by("-pk").values_list("key", "lot", "title")[:MOST_FOUND]),
        orders=list(
            orders.order_by("-pk").values_list("number", "title", "customer__name")[:MOST_FOUND]
        ),
    )


def _boils(found: set[int], direct: set[int], from_: Ways) -> tuple[BoilTraced, ...]:
    rows = Batch.objects.filter(pk__in=found).annotate(sent=Sum("deliveries__packs"))
    columns = ("pk", "key", "lot", "title", "phase", "facts__day", "facts__bags", "sent")
    read = list(rows.order_by("-pk").values_list(*columns))
    names = {pk: lot for pk, _, lot, *_ in read}
    return tuple(
        BoilTraced(
            *(key, lot, title, phase, day or "", bags, sent or 0),
            scrap_of=tuple(sorted(names[b] for b in from_.get(pk, ()) if b in names)),
            direct=pk in direct,
        )
        for pk, key, lot, title, phase, day, bags, sent in read
    )


def _out(shop_id: int, boils: set[int]) -> tuple[PacksOut, ...]:
    """Packs that are still out, by boil and order; what all came back is not."""
    who = ("order__number", "order__customer__name", "order__customer__reach")
    rows = Delivery.objects.filter(shop_id=shop_id, batch_id__in=boils)
    summed = rows.values_list("batch__lot", *who).annotate(
        packs=Sum("packs"), first=Min("day"), last=Max("day")
    )
    # The counter last, on either engine.
    by_name = F("order__customer__name").asc(nulls_last=True)
    ordered = summed.order_by(by_name, "order__number", "batch__lot")
    return tuple(
        PacksOut(lot, number or "", name or "", reach or "", packs, first, last)
        for lot, number, name, reach, packs, first, last in ordered
        if packs
    )


def _lots_in(shop_id: int, boils: set[int]) -> tuple[LotTraced, ...]:
    """Every lot that is in these boils, and in which."""
    rows = LotUse.objects.filter(shop_id=shop_id, batch_id__in=boils).order_by("-batch_id")
    found: dict[int, list[str]] = {}
    for lot, boil in rows.values_list("lot_id", "batch__lot"):
        found.setdefault(lot, []).append(boil)
    there = lots_where(shop_id, pk__in=found)
    return tuple(LotTraced(lot, tuple(found[pk])) for pk, lot in there.items())
