"""Who orders: the one table that knows how to reach them, so that they can be erased.

What was erased is gone from the database; a backup taken before holds it as long as it is kept.
"""

import secrets

from django.db import connection, transaction

from shop.models import ApprovalName, Customer, OrderEntry
from shop.sentences import Sentence
from shop.store.access import one_row
from shop.store.changes import note
from shop.store.clock import now_ms
from shop.store.erasing import emptied_log, removed, written_anew
from shop.store.errors import NotHere, OutOfRange
from shop.store.order_shapes import CustomerInfo

MOST_NAME, MOST_REACH = 80, 1000


def access_customer(shop_id: int, key: str) -> CustomerInfo:
    """The customer of this shop with this id. Raises NotHere."""
    return customer_info(
        one_row(Customer.objects.filter(shop_id=shop_id, key=key), "customer", key)
    )


def customer_info(row: Customer) -> CustomerInfo:
    return CustomerInfo(row.key, row.name, row.reach, row.erased)


def customers(shop_id: int, *, named: str, most: int) -> list[CustomerInfo]:
    """Those whose name holds these words, by name, at most so many."""
    rows = Customer.objects.filter(shop_id=shop_id, erased=None, name__icontains=named)
    # PostgreSQL refuses the character NUL in a query; no name holds one.
    found = [] if "\0" in named else rows.order_by("name", "pk")[:most]
    return [customer_info(row) for row in found]


def new_customer(*, shop_id: int, name: str, reach: str) -> CustomerInfo:
    """Somebody who orders. Raises OutOfRange."""
    _check(name, reach)
    values = {"name": name.strip(), "reach": reach.strip(), "at": now_ms()}
    row = Customer.objects.create(shop_id=shop_id, key=secrets.token_hex(8), **values)
    return customer_info(row)


def change_customer(*, shop_id: int, key: str, name: str, reach: str) -> CustomerInfo:
    """Another name, another way to reach them; what it was is kept nowhere.

    Raises NotHere, also for one who was erased, and OutOfRange.
    """
    _check(name, reach)
    with transaction.atomic():
        row = _locked(shop_id, key)
        _rewrite(row, name.strip(), reach.strip(), None)
    emptied_log()
    return access_customer(shop_id, key)


def erase(*, shop_id: int, key: str, by: str) -> bool:
    """Erase for good who this was; 'who changed what' keeps that it was done, not who it was.

    With it go the names typed under the proofs of every picture that an order of theirs names or
    once named: whose name it was nobody knows, so it goes whoever else orders that picture. That
    and when a proof was approved stays.

    False where SQLite could not empty its own log yet, because somebody was reading: the next
    erasure does. Raises NotHere, also for one erased before.
    """
    with transaction.atomic():
        row = _locked(shop_id, key)
        about, before, after = f"customer {key}", {"who": "kept"}, {"who": "erased"}
        note(shop_id=shop_id, by=by, about=about, before=before, after=after)
        _erase_typed(row)
        _rewrite(row, "", "", now_ms())
    return emptied_log()


def _erase_typed(row: Customer) -> None:
    """The names under the yeses to the pictures of their orders."""
    now = row.orders.values_list("drawing__key", flat=True)
    entries = OrderEntry.objects.filter(order__customer=row)
    once = entries.values_list("body__sets__drawing", flat=True)
    names = ApprovalName.objects.filter(
        shop_id=row.shop_id, approval__proof__drawing__key__in={*now, *once} - {None, ""}
    )
    if gone := set(names.values_list("pk", flat=True)):
        removed(ApprovalName, gone)


def _locked(shop_id: int, key: str) -> Customer:
    rows = Customer.objects.select_for_update(no_key=True).filter(shop_id=shop_id, key=key)
    row: Customer = one_row(rows, "customer", key)
    if row.erased is not None:
        raise NotHere("customer any more", key)
    return row


def _rewrite(row: Customer, name: str, reach: str, erased: int | None) -> None:
    """On SQLite the whole table is written anew (store/erasing.py)."""
    row.name, row.reach, row.erased = name, reach, erased
    if connection.vendor != "sqlite":
        row.save(update_fields=["name", "reach", "erased"])
        return
    rows = [row if one.pk == row.pk else one for one in Customer.objects.order_by("pk")]
    written_anew(Customer, rows)


def _check(name: str, reach: str) -> None:
    """Raises OutOfRange."""
    for what, text, least, most in (
        (Sentence("The length of the name"), name.strip(), 1, MOST_NAME),
        (Sentence("The length of how to reach them"), reach.strip(), 0, MOST_REACH),
    ):
        if not least <= len(text) <= most or "\0" in text:
            raise OutOfRange(what, len(text), least, most)
