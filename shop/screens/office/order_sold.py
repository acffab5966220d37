"""Packs sold over the counter, of no order, and the boils they came from."""

import secrets

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from shop.screens.office.access import at_desk
from shop.screens.office.order import MADE, SentForm, send
from shop.screens.office.order_house import house_of, long_day
from shop.store import batches, deliveries
from shop.store.shapes import ShopInfo

NEWEST, SHOWN = 60, 100


@at_desk
def sold(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The newest counter sales; POST writes one down."""
    made = batches.batches(shop.id, *MADE, most=NEWEST)
    boils = [(boil.key, f"{boil.lot}, {boil.title}") for boil in made]
    form = SentForm(request.POST or None, boils=boils, house=house_of(shop))
    if request.method == "POST":
        send(request, shop, form, "")
        return redirect("office-sold")
    found = deliveries.deliveries(shop.id, counter=True, most=SHOWN)
    lines = [(one, long_day(one.day)) for one in found]
    key = secrets.token_hex(12)
    context = {"lines": lines, "form": form, "sent_key": key, "shop_name": shop.name}
    return render(request, "office/order_sold.html", context)
