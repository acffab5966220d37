"""Reading orders: one, a page of them, a week of them."""

import json
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from django.db.models import Case, Count, IntegerField, Q, QuerySet, Value, When

from shop.models import Batch, Order, OrderBoil
from shop.plan.orders.stages import NOT_MADE
from shop.store.access import batch_info, one_row
from shop.store.customers import customer_info
from shop.store.order_entries import entries_of
from shop.store.order_picture import is_approved, missing_of
from shop.store.order_shapes import BoilLink, EntryInfo, OrderInfo, OrderLine, OrdersPage
from shop.store.shapes import BatchInfo

LINE = ("number", "title", "stage", "due", "make_day", "customer__name", "said__ship_days")


def access_order(shop_id: int, number: str) -> OrderInfo:
    """The order of this shop with this number, and its boils. Raises NotHere."""
    rows = Order.objects.select_related("customer", "drawing")
    return order_info(one_row(rows.filter(shop_id=shop_id, number=number), "order", number))


def still_to_say(shop_id: int, number: str) -> list[str]:
    """What must still be said before it can be agreed, in words. Raises NotHere."""
    rows = Order.objects.select_related("customer", "drawing")
    return missing_of(one_row(rows.filter(shop_id=shop_id, number=number), "order", number))


def order_info(row: Order) -> OrderInfo:
    """With its approval and its boils, a query each."""
    return replace(plain_info(row), approved=is_approved(row), boils=tuple(_boils(row.pk)))


def plain_info(row: Order) -> OrderInfo:
    """What stands in the row."""
    return OrderInfo(
        id=row.pk,
        number=row.number,
        customer=customer_info(row.customer),
        drawing=row.drawing.key if row.drawing else "",
        stage=row.stage,
        title=row.title,
        due=row.due,
        make_day=row.make_day,
        said=dict(row.said),
        entries=row.entries,
        at=row.at,
        approved=False,
    )


def _boils(row_id: int) -> list[BoilLink]:
    rows = OrderBoil.objects.filter(order_id=row_id).order_by("pk")
    names = ("key", "lot", "letter", "title", "phase")
    return [BoilLink(*found) for found in rows.values_list(*(f"batch__{name}" for name in names))]


def history(order: OrderInfo) -> list[EntryInfo]:
    """What was said and done about it, oldest first."""
    return entries_of(order.id)


def orders_page(
    shop_id: int,
    *,
    stages: Sequence[str] = (),
    words: str = "",
    due_by: str = "",
    customer: str = "",
    start: int = 0,
    most: int = 50,
) -> OrdersPage:
    """Orders at these stages, holding these words, due by a day, of a customer: those due first
    first, without a day last; three queries."""
    rows = _found(shop_id, stages, words.strip(), due_by, customer)
    undated = Case(When(due="", then=Value(1)), default=Value(0), output_field=IntegerField())
    ordered = rows.order_by(undated, "due", "-pk").values_list("pk", flat=True)
    shown = list(ordered[start : start + most])
    # Sorted by number alone, then read: else the database carries every order's said through.
    found = Order.objects.filter(pk__in=shown).values_list("pk", *LINE)
    lines = {pk: OrderLine(*line) for pk, *line in found}
    return OrdersPage([lines[pk] for pk in shown], rows.count())


def _found(
    shop_id: int, stages: Sequence[str], words: str, due_by: str, customer: str
) -> QuerySet[Order]:
    rows = Order.objects.filter(shop_id=shop_id)
    if "\0" in words + due_by + customer:
        return rows.none()
    if stages:
        rows = rows.filter(stage__in=stages)
    if due_by:
        rows = rows.filter(due__gt="", due__lte=due_by)
    if customer:
        rows = rows.filter(customer__key=customer)
    for word in words.lower().split():
        rows = rows.filter(Q(words__contains=word) | Q(customer__name__icontains=word))
    return rows


def orders_of_days(shop_id: int, first: str, last: str) -> list[tuple[OrderInfo, list[str]]]:
    """Orders set for these days, with the keys of their boils; two queries, approvals left out."""
    rows = Order.objects.select_related("customer", "drawing")
    return _with_boils(rows.filter(shop_id=shop_id, make_day__gte=first, make_day__lte=last))


def orders_without_day(shop_id: int, *, most: int) -> list[tuple[OrderInfo, list[str]]]:
    """Orders not made yet that are set for no day, those due first first."""
    rows = Order.objects.select_related("customer", "drawing")
    found = rows.filter(shop_id=shop_id, make_day="", stage__in=NOT_MADE)
    undated = Case(When(due="", then=Value(1)), default=Value(0), output_field=IntegerField())
    return _with_boils(found.order_by(undated, "due", "-pk")[:most])


def _with_boils(rows: QuerySet[Order]) -> list[tuple[OrderInfo, list[str]]]:
    """In a week nobody asks whether a picture is approved: that is not looked up."""
    found = list(rows)
    links = OrderBoil.objects.filter(order__in=[row.pk for row in found])
    boils: dict[int, list[str]] = {}
    for order_id, key in links.values_list("order_id", "batch__key"):
        boils.setdefault(order_id, []).append(key)
    return [(plain_info(row), boils.get(row.pk, [])) for row in found]


def set_for(shop_id: int, first: str, last: str) -> dict[str, int]:
    """Day → how many orders are set for it."""
    rows = Order.objects.filter(shop_id=shop_id, make_day__gte=first, make_day__lte=last)
    return dict(rows.values_list("make_day").annotate(Count("pk")).order_by("make_day"))


def boils_of_lots(shop_id: int, lots: Sequence[str]) -> list[tuple[BatchInfo, dict[str, Any]]]:
    """Boils whose lot begins with one of these (a day each), with their sheets; one query."""
    wanted = Q()
    for lot in lots:
        wanted |= Q(lot__startswith=lot)
    rows = Batch.objects.filter(wanted, shop_id=shop_id).select_related("sheet").order_by("pk")
    return [(batch_info(row), json.loads(row.sheet.text)) for row in rows]
