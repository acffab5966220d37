"""What a picture's log weighs when log, rod or densities are tried out; nothing is kept."""

from dataclasses import replace

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from shop.picture.shapes import Section
from shop.screens.office.access import at_desk
from shop.screens.office.picture_asks import Opened, Plain, opened, ready
from shop.screens.office.picture_pieces import what_if, worked_context
from shop.screens.office.picture_sums import sums_of
from shop.store.shapes import ShopInfo


@at_desk
def sums(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Grams and metres for a log, rod or densities that are tried out; nothing is kept."""
    one = opened(shop, key)
    looked = ready(one.looked())
    if looked.what is None:
        return render(request, "office/picture_parts.html", worked_context(one, looked))
    drawn = looked.what.drawn
    form = what_if(one, drawn, request.GET or None)
    found = None
    if form.is_valid():
        c = form.cleaned_data
        found = sums_of(drawn, _section(one, c), one.how, c["short"], c["have"])
    context = {"info": one.info, "what_if": form, "sums": found, "shop_name": shop.name}
    whole = "office/picture_sums_page.html"
    return render(
        request, "office/picture_sums.html" if request.headers.get("HX-Request") else whole, context
    )


def _section(one: Opened, c: Plain) -> Section:
    """The section that the tried log, rod and densities make."""
    tried = {f"{k}_density": round(c[k] * 1000) for k in ("white", "light", "clear")}
    numbers = {**one.how.numbers, **tried}
    log_mg, rod_um = round(c["log"] * 1e6), round(c["rod"] * 1000)
    return replace(one.how, numbers=numbers, log_mg=log_mg, rod_um=rod_um).section
