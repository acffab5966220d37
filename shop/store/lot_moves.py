"""What the desk does with a lot: it comes, is counted, thrown, sent back, held, used up."""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from shop.models import LotMove, LotUse, Material, MaterialLot
from shop.store.access import one_row
from shop.store.append import office_event
from shop.store.batches import batches
from shop.store.changes import note
from shop.store.clock import now_ms
from shop.store.errors import NotHere, OutOfRange
from shop.store.read import batch_sheet
from shop.store.stock import GONE, HELD, OPEN, LotInfo, access_lot

# A silo of 100 tonnes, in mg; of pieces more than any shop packs.
MOST = 10**11
RECEIVED, COUNTED, THROWN, SENT_BACK = "received", "counted", "thrown", "sent-back"
RELEASED = "released"
MOST_OWED = 200


@dataclass(frozen=True, slots=True)
class LotMoved:
    """One move of a lot by the desk's hand [mg or pieces; out below nought]."""

    amount: int
    why: str
    at: int
    by: str
    note: str


def receive(
    *,
    shop_id: int,
    material: str,
    mark: str,
    supplier: str,
    received: str,
    amount: int,
    best_before: str = "",
    facts: Mapping[str, Any] | None = None,
    key: str = "",
    by: str = "",
    words: str = "",
) -> LotInfo:
    """A lot as it came in; a `key` that is here changes nothing. Raises NotHere, OutOfRange."""
    _check(amount, 1)
    own = key or secrets.token_hex(6)
    with transaction.atomic():
        rows = Material.objects.filter(shop_id=shop_id, key=material)
        values = {
            **{"material": one_row(rows, "material", material), "mark": mark, "at": now_ms()},
            **{"supplier": supplier, "received": received, "best_before": best_before},
            "facts": dict(facts or {}),
        }
        row, is_new = MaterialLot.objects.get_or_create(shop_id=shop_id, key=own, defaults=values)
        if is_new:
            _move(row, amount, RECEIVED, by=by, words=words, key=own)
    return access_lot(shop_id, own)


def count(
    *, shop_id: int, key: str, left: int, by: str = "", words: str = "", move: str = ""
) -> LotInfo:
    """So much lies there as it was weighed or counted: the difference is a move of its own.

    A `move` of the id given that is here changes nothing. Raises NotHere, OutOfRange.
    """
    _check(left, 0)
    with transaction.atomic():
        row = _locked(shop_id, key)
        _move(row, left - access_lot(shop_id, key).left, COUNTED, by=by, words=words, key=move)
    return access_lot(shop_id, key)


def take_out(
    *, shop_id: int, key: str, amount: int, why: str, by: str = "", words: str = "", move: str = ""
) -> LotInfo:
    """Thrown or sent back; a `move` that is here changes nothing. Raises NotHere, OutOfRange."""
    if why not in (THROWN, SENT_BACK):
        raise NotHere("way out of the store room", why)
    _check(amount, 1)
    with transaction.atomic():
        _move(_locked(shop_id, key), -amount, why, by=by, words=words, key=move)
    return access_lot(shop_id, key)


def use_up(*, shop_id: int, key: str, by: str = "", words: str = "") -> LotInfo:
    """Nothing is left of it, whatever the sums say; no new sheet names it any more."""
    with transaction.atomic():
        row = _locked(shop_id, key)
        _move(row, -access_lot(shop_id, key).left, COUNTED, by=by, words=words)
        _set(row, GONE)
    return access_lot(shop_id, key)


def hold(*, shop_id: int, key: str, why: str, by: str = "") -> LotInfo:
    """Nobody may use it until it is released: no new sheet names it, boils that run are told.

    Locks the counter row where a boil is told. Raises NotHere.
    """
    with transaction.atomic():
        row = _locked(shop_id, key)
        if row.state != HELD:
            _move(row, 0, HELD, by=by, words=why)
            _set(row, HELD)
            _tell_boils(row, why, by)
    return access_lot(shop_id, key)


def release(*, shop_id: int, key: str, why: str, by: str = "") -> LotInfo:
    """It may be used again; also where somebody thought that it was used up. Raises NotHere."""
    with transaction.atomic():
        row = _locked(shop_id, key)
        if row.state != OPEN:
            _move(row, 0, RELEASED, by=by, words=why)
            _set(row, OPEN)
    return access_lot(shop_id, key)


def set_papers(*, shop_id: int, key: str, facts: Mapping[str, Any], by: str = "") -> LotInfo:
    """What its own papers say beyond its material's; labels printed before are stale by it."""
    with transaction.atomic():
        row = _locked(shop_id, key)
        before, row.facts = row.facts, dict(facts)
        row.save(update_fields=["facts"])
        said = {"papers": before}, {"papers": row.facts}
        note(shop_id=shop_id, by=by, about=f"lot {row.mark}", before=said[0], after=said[1])
    return access_lot(shop_id, key)


def moves(shop_id: int, key: str) -> list[LotMoved]:
    """Everything the desk did with a lot, newest first."""
    rows = LotMove.objects.filter(shop_id=shop_id, lot__key=key, lot__shop_id=shop_id)
    return [LotMoved(r.mg, r.why, r.at, r.by, r.note) for r in rows.order_by("-pk")]


def _check(amount: int, least: int) -> None:
    if not least <= amount <= MOST:
        raise OutOfRange("The amount", amount, least, MOST)


def _locked(shop_id: int, key: str) -> MaterialLot:
    """The lot, while nobody else moves it; not its key, which a boil's use points to."""
    rows = MaterialLot.objects.filter(shop_id=shop_id, key=key)
    row: MaterialLot = one_row(rows.select_for_update(no_key=True), "lot", key)
    return row


def _move(lot: MaterialLot, amount: int, why: str, *, by: str, words: str, key: str = "") -> None:
    own = key or secrets.token_hex(12)
    values = {"lot": lot, "mg": amount, "why": why, "at": now_ms(), "by": by, "note": words}
    LotMove.objects.get_or_create(shop_id=lot.shop_id, key=own, defaults=values)


def _set(row: MaterialLot, state: str) -> None:
    row.state = state
    row.save(update_fields=["state"])


def _tell_boils(row: MaterialLot, why: str, by: str) -> None:
    """On the list of what is owed of every boil that runs and took of it, or may."""
    text = f"{row.material.name} {row.mark} is held: {why}"[:MOST_OWED]
    for batch in batches(row.shop_id, "open"):
        named = {m["id"] for m in batch_sheet(batch).get("materials", []) if _names(m, row.key)}
        if named or LotUse.objects.filter(batch_id=batch.id, lot=row).exists():
            body = {"text": text}
            office_event(shop_id=row.shop_id, batch=batch.key, kind="owed_added", body=body, by=by)


def _names(material: Mapping[str, Any], key: str) -> bool:
    return any(lot["id"] == key for lot in material["lots"])
