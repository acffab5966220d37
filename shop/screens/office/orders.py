"""Orders: the list of them, and what was asked or changed by the form."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import urlencode
from django.utils.translation import gettext, gettext_noop

from shop.plan.errors import PlanError
from shop.plan.orders.stages import OPEN, STAGES
from shop.screens.office.access import at_desk
from shop.screens.office.order_form import NumberForm, OrderForm, WhoForm
from shop.screens.office.order_house import House, house_of, long_day
from shop.screens.office.order_page import late
from shop.sentences import reason
from shop.store import customers
from shop.store import orders as store_orders
from shop.store.customers import access_customer
from shop.store.errors import NotHere, StoreError
from shop.store.order_reading import access_order, orders_page
from shop.store.order_shapes import CustomerInfo, OrderInfo, OrderLine
from shop.store.shapes import ShopInfo

A_PAGE = 50
MOST_FOUND = 12
# What the list may show, by the word in its address.
LISTS = {
    **{"open": (gettext_noop("Open"), OPEN), "all": (gettext_noop("All"), ())},
    **{stage: (words.capitalize(), (stage,)) for stage, words in STAGES.items()},
}


@dataclass(frozen=True, slots=True)
class ListLine:
    """An order as the list shows it; `warn` what is late about it."""

    order: OrderLine
    stage: str
    due: str
    make_day: str
    latest: str
    warn: str


@dataclass(frozen=True, slots=True)
class ListPage:
    """A page of orders, what it was asked for, and the pages beside it."""

    lines: list[ListLine]
    total: int
    first: int
    last: int
    lists: list[tuple[str, str, bool]]
    words: str
    due_by: str
    shown: str
    before: str
    after: str
    who: str


def the_order(shop: ShopInfo, number: str) -> OrderInfo:
    """The order of this shop, or a page that says there is none."""
    try:
        return access_order(shop.id, number)
    except NotHere as missing:
        raise Http404(str(missing)) from missing


@at_desk
def orders(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Fifty of the shop's orders, those due first first; `show`, `words`, `due_by`, `page`."""
    context = {"page": _list_page(house_of(shop), request), "shop_name": shop.name}
    return render(request, "office/orders.html", context)


def _list_page(house: House, request: HttpRequest) -> ListPage:
    asked = {name: request.GET.get(name, "")[:80] for name in ("words", "due_by", "customer")}
    shown = request.GET.get("show", "open")
    shown = shown if shown in LISTS else "open"
    number = request.GET.get("page", "1")
    at = max(1, int(number)) if number.isascii() and number.isdigit() and len(number) < 7 else 1
    start = (at - 1) * A_PAGE
    found = orders_page(house.shop.id, stages=LISTS[shown][1], start=start, most=A_PAGE, **asked)
    kept: dict[str, str | int] = {
        "show": shown,
        **{name: value for name, value in asked.items() if value},
    }
    lines = [_line(house, order) for order in found.orders]
    return ListPage(
        lines=lines,
        total=found.total,
        first=start + 1,
        last=start + len(lines),
        lists=[(key, gettext(words), key == shown) for key, (words, _) in LISTS.items()],
        words=asked["words"],
        due_by=asked["due_by"],
        shown=shown,
        before=urlencode({**kept, "page": at - 1}) if at > 1 else "",
        after=urlencode({**kept, "page": at + 1}) if start + A_PAGE < found.total else "",
        who=_who(house.shop, asked["customer"]),
    )


def _who(shop: ShopInfo, key: str) -> str:
    try:
        return access_customer(shop.id, key).name if key else ""
    except NotHere:
        return ""


def _line(house: House, order: OrderLine) -> ListLine:
    latest = house.latest(order.due, order.ship_days)
    return ListLine(
        order=order,
        stage=gettext(STAGES[order.stage]),
        due=long_day(order.due),
        make_day=long_day(order.make_day),
        latest=long_day(latest),
        warn=late(house, order.stage, order.make_day, latest),
    )


@at_desk
def new_order(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The intake; half of it is enough to be kept. `?customer=KEY` for somebody known, `?again=`
    NUMBER to begin with what an earlier order said, `?named=` to look for somebody."""
    known = _known(shop, request.GET.get("customer", ""))
    before = request.GET.get("again", "")
    like = the_order(shop, before) if before else None
    form = OrderForm(request.POST or None, shop=shop, order=like)
    numbered = NumberForm(request.POST or None, initial=_first(shop))
    who = WhoForm(None if known else request.POST or None)
    if request.method == "POST" and _valid(form, numbered, *([] if known else [who])):
        try:
            made = _keep(request, shop, form, numbered, who, known)
            messages.success(request, gettext("%(number)s is kept.") % {"number": made.number})
            return redirect("office-order", made.number)
        except (StoreError, PlanError) as wrong:
            form.add_error(None, reason(wrong))
    context = {
        **{"form": form, "numbered": numbered, "who": who, "known": known},
        **{"found": _found(shop, request), "named": request.GET.get("named", "")},
        "shop_name": shop.name,
    }
    return render(request, "office/order_form.html", context)


def _first(shop: ShopInfo) -> dict[str, str]:
    return {"number": store_orders.next_number(shop.id)}


def _valid(*forms: Any) -> bool:
    """All of them are asked, so that each says what is wrong in it."""
    return [form for form in forms if not form.is_valid()] == []


def _known(shop: ShopInfo, key: str) -> CustomerInfo | None:
    try:
        found = access_customer(shop.id, key) if key else None
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    return None if found is None or found.erased is not None else found


def _found(shop: ShopInfo, request: HttpRequest) -> list[CustomerInfo]:
    named = request.GET.get("named", "").strip()
    return customers.customers(shop.id, named=named, most=MOST_FOUND) if named else []


def _keep(
    request: HttpRequest,
    shop: ShopInfo,
    form: OrderForm,
    numbered: NumberForm,
    who: WhoForm,
    known: CustomerInfo | None,
) -> OrderInfo:
    """Raises StoreError, PlanError; then neither customer nor order is kept."""
    by, number = request.user.get_username(), numbered.cleaned_data["number"]
    return store_orders.new_order(
        shop_id=shop.id,
        number=number,
        customer=known.key if known else "",
        who=None if known else (who.cleaned_data["name"], who.cleaned_data["reach"]),
        by=by,
        **form.given(),
    )


@at_desk
def change_order(request: HttpRequest, shop: ShopInfo, number: str) -> HttpResponse:
    """What was said since."""
    order = the_order(shop, number)
    form = OrderForm(request.POST or None, shop=shop, order=order)
    seen = request.POST.get("seen", "")
    if request.method == "POST" and form.is_valid():
        try:
            store_orders.change_order(
                shop_id=shop.id,
                number=number,
                seen=int(seen) if seen.isascii() and seen.isdigit() and len(seen) < 10 else 0,
                by=request.user.get_username(),
                **form.given(),
            )
            messages.success(request, gettext("%(number)s is kept.") % {"number": number})
            return redirect("office-order", number)
        except (StoreError, PlanError) as wrong:
            form.add_error(None, reason(wrong))
    context = {"form": form, "order": order, "seen": seen or order.entries, "shop_name": shop.name}
    return render(request, "office/order_form.html", context)
