"""What the floor says of the site when it matters: name, address, emergency number, tap."""

from django import forms
from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, gettext_lazy

from shop.screens.office.access import at_desk
from shop.store.shapes import ShopInfo
from shop.store.shops import reads_of, set_settings

UNITS = (("metric", "Metric: °C, kg, mm"), ("us", "US: °F, lb and oz, inches"))


class SiteForm(forms.Form):
    """The site as an ambulance would need it."""

    name = forms.CharField(max_length=80, label=gettext_lazy("Name of the shop"))
    site_address = forms.CharField(
        max_length=120, help_text=gettext_lazy("As an ambulance would need it.")
    )
    emergency_number = forms.CharField(max_length=20)
    nearest_tap = forms.CharField(max_length=60, label=gettext_lazy("Nearest tap"))
    units = forms.ChoiceField(choices=UNITS, label=gettext_lazy("Units"), required=False)
    language = forms.ChoiceField(
        choices=settings.LANGUAGES,
        label=gettext_lazy("Language"),
        required=False,
        help_text=gettext_lazy(
            "Units and language hold for whoever sets none of their own under People."
        ),
    )


@at_desk
def site(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The form; a change holds from the next sheet on."""
    now = {**shop.settings, **reads_of(shop), "name": shop.name}
    form = SiteForm(request.POST or None, initial=now)
    if request.method == "POST" and form.is_valid():
        given = {what: value for what, value in form.cleaned_data.items() if value}
        name = given.pop("name")
        by = request.user.get_username()
        set_settings(shop_id=shop.id, name=name, settings={**shop.settings, **given}, by=by)
        messages.success(request, gettext("The site is written down, from the next sheet on."))
        return redirect("office-site")
    return render(request, "office/site.html", {"form": form, "shop_name": shop.name})
