"""The living page: every component of the floor in its states, drawn by the phones' own modules."""

from csp.decorators import csp_replace
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.clickjacking import xframe_options_sameorigin
from django.views.decorators.http import require_GET

from shop.plan.own_way import program_flat
from shop.screens.office.access import at_desk
from shop.screens.office.way_sheet import example_sheet
from shop.store.shapes import ShopInfo

NIGHT = "dark"


@at_desk
@require_GET
def look(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """All specimens, by day or by night."""
    light = NIGHT if request.GET.get("light") == NIGHT else ""
    return render(request, "office/look.html", {"light": light, "shop_name": shop.name})


@csp_replace({"frame-ancestors": ["'self'"]})
@xframe_options_sameorigin
@at_desk
@require_GET
def specimen(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """One of them, as large as a phone; only our own page may frame it."""
    return render(request, "office/specimen.html", {"sheet": example_sheet(program_flat())})
