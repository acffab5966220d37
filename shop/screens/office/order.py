"""The page of one order and what is done on it."""

import secrets
from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_POST

from shop.plan.errors import PlanError
from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.order_answers import answers
from shop.screens.office.order_fields import DAY
from shop.screens.office.order_form import WhoForm
from shop.screens.office.order_house import House, house_of
from shop.screens.office.order_page import order_page
from shop.screens.office.orders import the_order
from shop.screens.office.proof import proof_lines
from shop.sentences import reason
from shop.store import customers, deliveries
from shop.store import orders as store_orders
from shop.store.access import access_drawing
from shop.store.errors import NotHere, StoreError
from shop.store.order_reading import still_to_say
from shop.store.order_shapes import OrderInfo
from shop.store.shapes import ShopInfo

MADE = ("open", "closed")


class SentForm(forms.Form):
    """Packs that go out of a boil, or come back."""

    batch = forms.ChoiceField(label=_("Of boil"))
    packs = forms.IntegerField(min_value=1, max_value=100_000, label=_("Packs"))
    day = forms.DateField(widget=DAY, label=_("On"))
    note = forms.CharField(required=False, max_length=200, help_text=_("No names."))

    def __init__(self, data: Any, *, boils: list[tuple[str, str]], house: House) -> None:
        super().__init__(data, initial={"day": house.today})
        fields: dict[str, Any] = self.fields
        fields["batch"].choices = boils


@at_desk
def order(request: HttpRequest, shop: ShopInfo, number: str) -> HttpResponse:
    """One order, whole."""
    found, house = the_order(shop, number), house_of(shop)
    who = WhoForm(initial={"name": found.customer.name, "reach": found.customer.reach})
    context = {
        "page": order_page(house, found, still_to_say(shop.id, number)),
        **_answers(house, found),
        **{"who": who, "sent": SentForm(None, boils=boils_of(found), house=house)},
        **{"proofs": _proofs(shop, found), "picture": _picture(shop, found)},
        # A form that is sent twice is one delivery.
        "sent_key": secrets.token_hex(12),
        "shop_name": shop.name,
    }
    return render(request, "office/order.html", context)


def _answers(house: House, found: OrderInfo) -> dict[str, Any]:
    return {"order": found, "answers": answers(house, found)}


def boils_of(found: OrderInfo) -> list[tuple[str, str]]:
    """The order's boils that were made."""
    return [(boil.batch, boil.lot) for boil in found.boils if boil.phase in MADE]


def _proofs(shop: ShopInfo, found: OrderInfo) -> Any:
    return proof_lines(shop, found.drawing, the_zone(shop)) if found.drawing else []


def _picture(shop: ShopInfo, found: OrderInfo) -> Any:
    return access_drawing(shop.id, found.drawing) if found.drawing else None


@at_desk
def order_answers(request: HttpRequest, shop: ShopInfo, number: str) -> HttpResponse:
    """Verdict and quote, or that they are still worked on."""
    found = the_order(shop, number)
    return render(request, "office/order_answers.html", _answers(house_of(shop), found))


@at_desk
@require_POST
def order_stage(request: HttpRequest, shop: ShopInfo, number: str) -> HttpResponse:
    """Another stage."""
    the_order(shop, number)
    by, to = request.user.get_username(), request.POST.get("to", "")
    note = request.POST.get("note", "").strip()[:200]
    try:
        store_orders.move(shop_id=shop.id, number=number, to=to, by=by, note=note)
    except (StoreError, PlanError) as wrong:
        messages.error(request, reason(wrong))
    return redirect("office-order", number)


@at_desk
@require_POST
def order_customer(request: HttpRequest, shop: ShopInfo, number: str) -> HttpResponse:
    """Who it is for: put right, or erased for good."""
    key = the_order(shop, number).customer.key
    try:
        if request.POST.get("act") == "erase":
            _erase(request, shop, key)
        else:
            _reach(request, shop, key)
    except StoreError as wrong:
        messages.error(request, reason(wrong))
    return redirect("office-order", number)


def _erase(request: HttpRequest, shop: ShopInfo, key: str) -> None:
    if request.POST.get("sure") != "yes":
        messages.error(request, _("Tick 'for good' as well: what is erased does not come back."))
        return
    done = customers.erase(shop_id=shop.id, key=key, by=request.user.get_username())
    later = "" if done else " The file itself is emptied at the next erasure: somebody was reading."
    messages.success(request, f"Who this was is erased. The orders stay, without a name.{later}")


def _reach(request: HttpRequest, shop: ShopInfo, key: str) -> None:
    form = WhoForm(request.POST)
    if not form.is_valid():
        messages.error(
            request, _("A customer has a name of at most 80 characters; erase it below.")
        )
        return
    customers.change_customer(shop_id=shop.id, key=key, **form.cleaned_data)
    messages.success(request, _("Who it is for is put right."))


@at_desk
@require_POST
def order_sent(request: HttpRequest, shop: ShopInfo, number: str) -> HttpResponse:
    """Packs of a boil went out to this order, or came back."""
    found = the_order(shop, number)
    form = SentForm(request.POST, boils=boils_of(found), house=house_of(shop))
    send(request, shop, form, number)
    return redirect("office-order", number)


def send(request: HttpRequest, shop: ShopInfo, form: SentForm, order: str) -> bool:
    """Write a delivery down; whether it was one, else why not is said."""
    if not form.is_valid():
        for name, wrong in form.errors.items():
            messages.error(
                request, f"{form.fields[name].label or name}: {' '.join(str(one) for one in wrong)}"
            )
        return False
    given, back = form.cleaned_data, request.POST.get("way") == "back"
    packs = -given["packs"] if back else given["packs"]
    try:
        deliveries.deliver(
            shop_id=shop.id,
            batch=given["batch"],
            order=order,
            packs=packs,
            day=given["day"].isoformat(),
            note=given["note"],
            by=request.user.get_username(),
            key=request.POST.get("key", "")[:24],
        )
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    except (StoreError, PlanError) as wrong:
        messages.error(request, reason(wrong))
        return False
    came = gettext("%(n)s packs came back.") if back else gettext("%(n)s packs went out.")
    messages.success(request, came % {"n": given["packs"]})
    return True
