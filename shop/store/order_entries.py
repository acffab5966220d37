"""An order's history: every change is an entry that is never changed, and the row is their fold.

Whoever writes here has locked the order's row.
"""

from collections.abc import Iterable
from typing import Any

from shop.models import Drawing, Order, OrderEntry
from shop.plan.orders.said import NOTHING
from shop.store.clock import now_ms
from shop.store.order_shapes import EntryInfo

# What an entry may set, and what it is before the first.
START: dict[str, Any] = {
    **{"title": "", "stage": "", "due": "", "make_day": "", "drawing": ""},
    "said": dict(NOTHING),
}


def replay(entries: Iterable[EntryInfo]) -> dict[str, Any]:
    """What an order's row holds after these entries, oldest first; `said` is set key by key."""
    row = {**START, "said": dict(NOTHING)}
    for entry in entries:
        plain = {key: value for key, value in entry.sets.items() if key in START}
        said = {**row["said"], **plain.pop("said", {})}
        row = {**row, **plain, "said": said}
    return row


def write(
    row: Order, what: str, *, by: str, sets: dict[str, Any], note: str = "", at: int | None = None
) -> None:
    """One entry, and the row as it makes it so."""
    _set(row, sets)
    row.entries += 1
    row.save()
    body = {"sets": sets, **({"note": note[:200]} if note else {})}
    OrderEntry.objects.create(
        shop_id=row.shop_id,
        order=row,
        number=row.entries,
        at=now_ms() if at is None else at,
        by=by,
        what=what,
        body=body,
    )


def _set(row: Order, sets: dict[str, Any]) -> None:
    for key, value in sets.items():
        if key == "said":
            row.said = {**row.said, **value}
        elif key == "drawing":
            row.drawing = _drawing(row.shop_id, value)
        else:
            setattr(row, key, value)
    row.words = _words(row)


def _drawing(shop_id: int, key: str) -> Drawing | None:
    """The picture of this shop; whoever asks has looked that it is there."""
    return Drawing.objects.get(shop_id=shop_id, key=key) if key else None


def _words(row: Order) -> str:
    """What an order is found by."""
    said = row.said
    found = [row.number, row.title, said["art"], said["flavour"], said["text"], *said["colours"]]
    if row.drawing:
        found.append(row.drawing.title)
    return " ".join(found).lower()[:4000]


def entries_of(row_id: int) -> list[EntryInfo]:
    """Every entry of an order, oldest first."""
    rows = OrderEntry.objects.filter(order_id=row_id).order_by("number")
    return [
        EntryInfo(r.number, r.at, r.by, r.what, r.body.get("sets", {}), r.body.get("note", ""))
        for r in rows
    ]
