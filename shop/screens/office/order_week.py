"""The week plan: seen, and moved by plain forms."""

from datetime import date, timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import urlencode
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from shop.plan.errors import PlanError
from shop.screens.office.access import at_desk
from shop.screens.office.order_house import house_of, long_day
from shop.screens.office.order_settings import keep
from shop.screens.office.orders import the_order
from shop.screens.office.week_page import week_page
from shop.sentences import reason
from shop.store import orders as store_orders
from shop.store import people as store_people
from shop.store.errors import StoreError
from shop.store.shapes import ShopInfo

# Who was away on days so long ago is forgotten.
KEEPS_DAYS = 30


def monday_of(text: str, today: date) -> date:
    """The Monday of the week that holds a day; of this week where it is no day."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        day = today
    day = min(max(day, date(2000, 1, 3)), date(2199, 12, 1))
    return day - timedelta(days=day.weekday())


@at_desk
def week(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The week of `?from=`; this one without."""
    house = house_of(shop)
    page = week_page(house, monday_of(request.GET.get("from", ""), house.today))
    return render(request, "office/order_week.html", {"page": page, "shop_name": shop.name})


@at_desk
@require_POST
def order_day(request: HttpRequest, shop: ShopInfo, number: str) -> HttpResponse:
    """Another day for an order; back to the week it was moved in, or to its page."""
    the_order(shop, number)
    by, day = request.user.get_username(), request.POST.get("day", "")
    try:
        store_orders.set_make_day(shop_id=shop.id, number=number, day=day, by=by)
        messages.success(request, f"{number}: {long_day(day) or gettext('no day')}.")
    except (StoreError, PlanError) as wrong:
        messages.error(request, reason(wrong))
    if "week" not in request.POST:
        return redirect("office-order", number)
    return _to_week(request)


def _to_week(request: HttpRequest) -> HttpResponse:
    answer = redirect("office-week")
    answer["Location"] += "?" + urlencode({"from": request.POST.get("week", "")[:10]})
    return answer


@at_desk
@require_POST
def who_is_here(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Who works on a day of the week."""
    house = house_of(shop)
    try:
        day = date.fromisoformat(request.POST.get("day", ""))
    except ValueError:
        return _to_week(request)
    people = {one.key for one in store_people.people(shop.id, active_only=True)}
    away = sorted(people - set(request.POST.getlist("here")))
    first = (house.today - timedelta(days=KEEPS_DAYS)).isoformat()
    kept = {iso: who for iso, who in house.kept["away"].items() if iso >= first}
    keep(request, house, {"away": {**kept, day.isoformat(): away}})
    return _to_week(request)
