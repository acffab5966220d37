"""Days, hands and prices: what the counter reckons with at this shop."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.dates import WEEKDAYS_ABBR
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shop.plan.errors import OrderWrong
from shop.plan.orders.numbers import counter_defaults
from shop.screens.office.access import at_desk
from shop.screens.office.numbers import fixed_from, number_line
from shop.screens.office.order_house import KEPT, House, closed_days, house_of
from shop.sentences import reason
from shop.store import numbers as store_numbers
from shop.store.errors import OutOfRange
from shop.store.shapes import ShopInfo
from shop.store.shops import set_settings

CLOCK = forms.TimeInput(format="%H:%M", attrs={"type": "time"})


class DaysForm(forms.Form):
    """When the shop works."""

    days = forms.MultipleChoiceField(
        label=_("Works on"),
        widget=forms.CheckboxSelectMultiple,
        choices=[(str(n), name) for n, name in enumerate(WEEKDAYS_ABBR.values())],
    )
    light_up = forms.TimeField(label=_("Lights at"), widget=CLOCK)
    shift_end = forms.TimeField(label=_("The shift ends at"), widget=CLOCK)
    currency = forms.CharField(
        max_length=4, required=False, label=_("Sign of the money"), strip=False
    )
    closed = forms.CharField(
        required=False,
        label=_("Shut on"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("One day a line, as 2026-12-25."),
    )

    def clean_closed(self) -> list[str]:
        try:
            return closed_days(self.cleaned_data["closed"])
        except OrderWrong as wrong:
            raise forms.ValidationError(reason(wrong)) from wrong

    def kept(self) -> dict[str, Any]:
        """As the settings keep it."""
        given = self.cleaned_data
        clocks = {name: f"{given[name]:%H:%M}" for name in ("light_up", "shift_end")}
        days = sorted(int(day) for day in given["days"])
        return {**clocks, "days": days, "currency": given["currency"], "closed": given["closed"]}


def keep(request: HttpRequest, house: House, more: dict[str, Any]) -> None:
    """Into the shop's settings, with who changed it."""
    shop = house.shop
    settings = {**shop.settings, KEPT: {**house.kept, **more}}
    by = request.user.get_username()
    set_settings(shop_id=shop.id, name=shop.name, settings=settings, by=by)


@at_desk
def settings(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The days as one form, each number as its own; POST sets what it names."""
    house, wrong = house_of(shop), ""
    days = DaysForm(_days_of(request), initial=_typed(house))
    if request.method == "POST":
        wrong = _set(request, shop) if "id" in request.POST else ""
        if "id" not in request.POST and days.is_valid():
            keep(request, house, days.kept())
            messages.success(request, _("The days are set."))
            return redirect("office-order-settings")
        if "id" in request.POST and not wrong:
            return redirect(f"{request.path}#{request.POST.get('id', '')}")
    lines = [number_line(n, house.own.get(key)) for key, n in counter_defaults().items()]
    context = {"days": days, "lines": lines, "wrong": wrong, "shop_name": shop.name}
    return render(request, "office/order_settings.html", context, status=400 if wrong else 200)


def _days_of(request: HttpRequest) -> Any:
    return request.POST if request.method == "POST" and "id" not in request.POST else None


def _typed(house: House) -> dict[str, Any]:
    plain = {name: house.kept[name] for name in ("light_up", "shift_end", "currency")}
    days = [str(day) for day in house.kept["days"]]
    return {**plain, "days": days, "closed": "\n".join(house.kept["closed"])}


def _set(request: HttpRequest, shop: ShopInfo) -> str:
    """Sets the posted number; the sentence that says what was wrong, or nothing."""
    number = counter_defaults().get(request.POST.get("id", ""))
    if number is None:
        return gettext("There is no such number.")
    try:
        store_numbers.change_number(
            shop_id=shop.id,
            key=number.id,
            value=fixed_from(request.POST.get("value", ""), number),
            unit=number.unit,
            source="Set by this shop",
            low=number.low,
            high=number.high,
            by=request.user.get_username(),
        )
    except OutOfRange as outside:
        return str(outside)
    messages.success(request, gettext("%(name)s is set.") % {"name": number.name})
    return ""
