"""Goods called back: of which lots and boils, who has packs of them, and who was told."""

import secrets
from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction

from shop.models import Batch, MaterialLot, Recall, RecallTold
from shop.store.access import one_row
from shop.store.clock import now_ms
from shop.store.errors import NotHere, OutOfRange
from shop.store.lot_moves import hold
from shop.store.trace import PacksOut, Traced, onward

MOST_PACKS = 100_000
COUNTER = ""


@dataclass(frozen=True, slots=True)
class RecallInfo:
    """That goods are called back: ids of lots and boils, why, when, by whom."""

    key: str
    lots: tuple[str, ...]
    boils: tuple[str, ...]
    why: str
    at: int
    by: str


@dataclass(frozen=True, slots=True)
class Told:
    """That somebody was told, or that it came to nothing yet; packs that came back with it."""

    order: str
    how: str
    packs_back: int
    at: int
    by: str


@dataclass(frozen=True, slots=True)
class Holder:
    """Whoever has packs: an order and its customer, or `order` "" for the counter."""

    order: str
    customer: str
    reach: str
    packs: int
    boils: tuple[str, ...]
    first: str
    last: str
    told: tuple[Told, ...]

    @property
    def back(self) -> int:
        """Packs that came back so far."""
        return sum(one.packs_back for one in self.told)


@dataclass(frozen=True, slots=True)
class Recalled:
    """A recall as it stands now: what hangs on it, and who has it."""

    info: RecallInfo
    traced: Traced
    holders: tuple[Holder, ...]


def call_back(
    *,
    shop_id: int,
    lots: Iterable[str] = (),
    boils: Iterable[str] = (),
    why: str,
    key: str = "",
    by: str = "",
) -> str:
    """Call goods back, and hold the lots; its key. A `key` that is here changes nothing.

    Raises NotHere for a lot or boil this shop has not, OutOfRange where none is named.
    """
    of = {"lots": sorted(set(lots)), "boils": sorted(set(boils))}
    if not (of["lots"] or of["boils"]):
        raise OutOfRange("Lots and boils to call back", 0, 1, "as many as there are")
    own = key or secrets.token_hex(12)
    with transaction.atomic():
        _check(shop_id, of)
        values = {"of": of, "why": why, "at": now_ms(), "by": by}
        _, is_new = Recall.objects.get_or_create(shop_id=shop_id, key=own, defaults=values)
        for lot in of["lots"] if is_new else ():
            hold(shop_id=shop_id, key=lot, why=f"Called back: {why}"[:200], by=by)
    return own


def _check(shop_id: int, of: dict[str, list[str]]) -> None:
    for model, what, name in ((MaterialLot, "lot", "lots"), (Batch, "batch", "boils")):
        rows = model._default_manager.filter(shop_id=shop_id, key__in=of[name])
        there = set(rows.values_list("key", flat=True))
        for missing in sorted(set(of[name]) - there):
            raise NotHere(what, missing)


def recalls(shop_id: int, *, most: int | None = None) -> list[RecallInfo]:
    """The newest first."""
    rows = Recall.objects.filter(shop_id=shop_id).order_by("-pk")
    return [_info(row) for row in rows[:most]]


def recalled(shop_id: int, key: str) -> Recalled:
    """A recall, traced anew: packs that went out since are on it too. Raises NotHere."""
    row: Recall = one_row(Recall.objects.filter(shop_id=shop_id, key=key), "recall", key)
    info = _info(row)
    traced = onward(shop_id, lots=info.lots, boils=info.boils)
    told: dict[str, list[Told]] = {}
    for one in RecallTold.objects.filter(recall=row).order_by("-pk"):
        said = Told(one.order, one.how, one.packs_back, one.at, one.by)
        told.setdefault(one.order, []).append(said)
    return Recalled(info, traced, _holders(traced.out, told))


def tell(
    *, shop_id: int, key: str, order: str, how: str, packs_back: int = 0, by: str = ""
) -> None:
    """Somebody who has packs was told, or did not answer; `order` "" for the counter.

    Raises NotHere, OutOfRange.
    """
    found = {one.order: one for one in recalled(shop_id, key).holders}
    if order not in found:
        raise NotHere("order with packs of this", order or "the counter")
    left = found[order].packs - found[order].back
    if not 0 <= packs_back <= min(left, MOST_PACKS):
        raise OutOfRange("Packs back", packs_back, 0, left)
    row = Recall.objects.get(shop_id=shop_id, key=key)
    values = {"how": how, "packs_back": packs_back, "at": now_ms(), "by": by}
    RecallTold.objects.create(shop_id=shop_id, recall=row, order=order, **values)


def _info(row: Recall) -> RecallInfo:
    of = {name: tuple(row.of.get(name, ())) for name in ("lots", "boils")}
    return RecallInfo(row.key, of["lots"], of["boils"], row.why, row.at, row.by)


def _holders(out: Iterable[PacksOut], told: dict[str, list[Told]]) -> tuple[Holder, ...]:
    """Each order with all its packs; the counter last."""
    found: dict[str, list[PacksOut]] = {}
    for one in out:
        found.setdefault(one.order, []).append(one)
    ordered = sorted(found, key=lambda order: (order == COUNTER, order))
    return tuple(_holder(order, found[order], told.get(order, [])) for order in ordered)


def _holder(order: str, packs: list[PacksOut], told: list[Told]) -> Holder:
    return Holder(
        order=order,
        customer=packs[0].customer,
        reach=packs[0].reach,
        packs=sum(one.packs for one in packs),
        boils=tuple(one.boil for one in packs),
        first=min(one.first for one in packs),
        last=max(one.last for one in packs),
        told=tuple(told),
    )
