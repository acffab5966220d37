"""Writing orders: asked, changed, moved on, set for a day, tied to a boil.

Each writer locks the order's row, is all or nothing, and leaves an entry in its history.
"""

import re
from typing import Any

from django.db import transaction

from shop.models import Batch, Customer, Drawing, Order, OrderBoil, Shop
from shop.plan.errors import OrderWrong
from shop.plan.orders.said import NOTHING, day_said, whole_said
from shop.plan.orders.stages import NOT_MADE, check_move
from shop.sentences import Sentence
from shop.store.access import one_row
from shop.store.clock import now_ms
from shop.store.customers import new_customer
from shop.store.errors import NumberTaken, OrderMoved, OutOfRange
from shop.store.order_entries import write
from shop.store.order_picture import missing_of, take_back
from shop.store.order_reading import access_order
from shop.store.order_shapes import OrderInfo

NUMBER = re.compile(r"(?=.*[0-9])[A-Za-z0-9][A-Za-z0-9._-]{0,19}")
MOST_TITLE = 120
FIRST = "W-0001"


def next_number(shop_id: int) -> str:
    """The number after the newest order's: its last figures, one more."""
    rows = Order.objects.filter(shop_id=shop_id).order_by("-pk")
    newest = rows.values_list("number", flat=True).first()
    if newest is None:
        return FIRST
    found = re.search(r"[0-9]+(?=[^0-9]*$)", newest)
    digits = found[0] if found else "0"
    return newest[: -len(digits)] + f"{int(digits) + 1:0{len(digits)}d}" if found else FIRST


def new_order(
    *,
    shop_id: int,
    number: str,
    customer: str,
    title: str,
    said: dict[str, Any],
    who: tuple[str, str] | None = None,
    due: str = "",
    drawing: str = "",
    by: str = "",
    at: int | None = None,
) -> OrderInfo:
    """An enquiry, however little was said, of a known customer, or of somebody new: `who` is their
    name and how to reach them.

    Raises NumberTaken, NotHere, OutOfRange, OrderWrong; then nothing was kept.
    """
    if not NUMBER.fullmatch(number):
        raise OutOfRange("The order number", number, "1 to 20 of A–Z a–z 0–9 . _ -", "one figure")
    sets = _sets(shop_id, title, due, drawing, said)
    with transaction.atomic():
        _lock_shop(shop_id)
        if Order.objects.filter(shop_id=shop_id, number=number).exists():
            raise NumberTaken(number)
        key = new_customer(shop_id=shop_id, name=who[0], reach=who[1]).key if who else customer
        whose = one_row(Customer.objects.filter(shop_id=shop_id, key=key), "customer", key)
        row = Order(shop_id=shop_id, number=number, customer=whose, said=dict(NOTHING))
        row.at = now_ms() if at is None else at
        row.stage = "asked"
        row.save()
        write(row, "asked", by=by, sets={"stage": "asked", **sets}, at=at)
    return access_order(shop_id, number)


def change_order(
    *,
    shop_id: int,
    number: str,
    seen: int,
    title: str,
    said: dict[str, Any],
    due: str = "",
    drawing: str = "",
    by: str = "",
) -> OrderInfo:
    """What was said since; only what differs goes into the history.

    `seen`: how many entries it had when it was read. What was agreed and is now short of something
    is quoted again. Raises OrderMoved where somebody changed it meanwhile, NotHere, OutOfRange,
    OrderWrong.
    """
    wanted = _sets(shop_id, title, due, drawing, said)
    with transaction.atomic():
        row = locked(shop_id, number)
        if row.entries != seen:
            raise OrderMoved(number)
        if sets := _differing(row, wanted):
            write(row, "changed", by=by, sets=sets)
            if short := missing_of(row):
                take_back(row, by, f"still to say: {short[0]}")
    return access_order(shop_id, number)


def move(
    *, shop_id: int, number: str, to: str, by: str = "", note: str = "", at: int | None = None
) -> OrderInfo:
    """Another stage. Raises NotHere, StageWrong, StillMissing; then nothing changed."""
    with transaction.atomic():
        row = locked(shop_id, number)
        check_move(row.stage, to, missing_of(row), priced=row.said["price"] >= 0)
        write(row, to, by=by, sets={"stage": to}, note=note, at=at)
    return access_order(shop_id, number)


def set_make_day(
    *, shop_id: int, number: str, day: str, by: str = "", at: int | None = None
) -> OrderInfo:
    """The day it is to be made, "" for none. Raises NotHere, OrderWrong once it is made."""
    plain = day_said(Sentence("The make day"), day)
    with transaction.atomic():
        row = locked(shop_id, number)
        if row.stage not in NOT_MADE:
            raise OrderWrong(
                Sentence("The make day"), day or "taken away", f"{number} is {row.stage}"
            )
        if row.make_day != plain:
            write(row, "day_set", by=by, sets={"make_day": plain}, at=at)
    return access_order(shop_id, number)


def link_boil(
    *, shop_id: int, number: str, batch: str, day: str, by: str = "", at: int | None = None
) -> OrderInfo:
    """A boil was planned for this order, on a day; an agreed one is planned from now on.

    Linked before, nothing is written but another day. Raises NotHere.
    """
    with transaction.atomic():
        row = locked(shop_id, number)
        boil = one_row(Batch.objects.filter(shop_id=shop_id, key=batch), "batch", batch)
        _, new = OrderBoil.objects.get_or_create(shop_id=shop_id, order=row, batch=boil)
        sets = {"make_day": day} if row.make_day != day else {}
        if row.stage == "agreed":
            sets["stage"] = "planned"
        if new or sets:
            what = "planned" if "stage" in sets else "boil"
            write(row, what, by=by, sets=sets, note=f"boil {boil.lot}", at=at)
    return access_order(shop_id, number)


def locked(shop_id: int, number: str) -> Order:
    """The order's row, for this transaction alone. Raises NotHere."""
    rows = Order.objects.select_for_update(no_key=True, of=("self",))
    found = rows.select_related("customer", "drawing").filter(shop_id=shop_id, number=number)
    row: Order = one_row(found, "order", number)
    return row


def _sets(shop_id: int, title: str, due: str, drawing: str, said: dict[str, Any]) -> dict[str, Any]:
    """All that a form says, checked. Raises NotHere, OutOfRange, OrderWrong."""
    plain = " ".join(title.split())
    if not 1 <= len(plain) <= MOST_TITLE or "\0" in plain:
        raise OutOfRange("The length of the title", len(plain), 1, MOST_TITLE)
    if drawing:
        one_row(Drawing.objects.filter(shop_id=shop_id, key=drawing), "picture", drawing)
    due_day = day_said("The day it must be there", due)
    return {"title": plain, "due": due_day, "drawing": drawing, "said": whole_said(said)}


def _differing(row: Order, wanted: dict[str, Any]) -> dict[str, Any]:
    now = {"title": row.title, "due": row.due, "drawing": row.drawing.key if row.drawing else ""}
    sets = {key: wanted[key] for key, value in now.items() if wanted[key] != value}
    said = {key: value for key, value in wanted["said"].items() if row.said.get(key) != value}
    return {**sets, **({"said": said} if said else {})}


def _lock_shop(shop_id: int) -> None:
    """Two orders at once never get the same number."""
    Shop.objects.select_for_update(no_key=True).filter(pk=shop_id).values_list("pk").first()
