"""What boils took of which lot, as their entries say."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from shop.models import Batch, LotUse, MaterialLot
from shop.record.made import uses
from shop.store.access import batch_info
from shop.store.shapes import BatchInfo


@dataclass(frozen=True, slots=True)
class LotTaken:
    """What a boil took of a lot [mg or pieces]; None where nobody said."""

    batch: BatchInfo
    amount: int | None
    at: int


def taken(shop_id: int, key: str, *, most: int | None = None) -> list[LotTaken]:
    """The boils that took of a lot, newest first, at most so many."""
    rows = LotUse.objects.filter(shop_id=shop_id, lot__key=key, lot__shop_id=shop_id)
    rows = rows.select_related("batch__sheet").defer("batch__sheet__text").order_by("-batch_id")
    return [LotTaken(batch_info(row.batch), row.mg, row.at) for row in rows[:most]]


def keep_uses(batch: Batch, sheet: Mapping[str, Any], state: Mapping[str, Any]) -> None:
    """Write anew what a boil took of which lot; inside the transaction of whoever folded it."""
    found = _uses(batch.shop_id, dict(sheet), dict(state))
    rows = LotUse.objects.filter(batch=batch)
    if {row.lot_id: (row.mg, row.at) for row in rows} == found:
        return
    rows.delete()
    LotUse.objects.bulk_create(
        LotUse(shop_id=batch.shop_id, batch=batch, lot_id=lot, mg=mg, at=at)
        for lot, (mg, at) in found.items()
    )


def _uses(
    shop_id: int, sheet: dict[str, Any], state: dict[str, Any]
) -> dict[int, tuple[int | None, int]]:
    """Row of each lot that was said and is here → how much of it, and since when."""
    said = {used["lot"]: used["at"] for used in reversed(state["lots"]) if used["lot"]}
    if not said:
        return {}
    here = MaterialLot.objects.filter(shop_id=shop_id, key__in=said).values_list("key", "pk")
    rows: dict[str, int] = dict(here)
    found: dict[int, tuple[int | None, int]] = {}
    for used in uses(sheet, state):
        if used.lot in rows:
            before = found.get(rows[used.lot], (0, 0))[0]
            whole = None if None in (before, used.mg) else (before or 0) + (used.mg or 0)
            found[rows[used.lot]] = (whole, said[used.lot])
    return found


def facts_of(shop_id: int, keys: Iterable[str]) -> dict[str, dict[str, Any]]:
    """Id of each of these lots that is here → what its own papers say."""
    rows = MaterialLot.objects.filter(shop_id=shop_id, key__in=list(keys))
    return {key: dict(facts) for key, facts in rows.values_list("key", "facts")}
