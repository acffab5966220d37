"""What the floor says of the site when it matters: name, address, emergency number, tap."""

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from shop.screens.office.access import at_desk
from shop.store.shapes import ShopInfo
from shop.store.shops import set_settings


class SiteForm(forms.Form):
    """The site as an ambulance would need it."""

    name = forms.CharField(max_length=80, label="Name of the shop")
    site_address = forms.CharField(max_length=120, help_text="As an ambulance would need it.")
    emergency_number = forms.CharField(max_length=20)
    nearest_tap = forms.CharField(max_length=60, label="Nearest tap")


@at_desk
def site(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The form; a change holds from the next sheet on."""
    form = SiteForm(request.POST or None, initial={**shop.settings, "name": shop.name})
    if request.method == "POST" and form.is_valid():
        given = dict(form.cleaned_data)
        name = given.pop("name")
        by = request.user.get_username()
        set_settings(shop_id=shop.id, name=name, settings={**shop.settings, **given}, by=by)
        messages.success(request, "The site is written down, from the next sheet on.")
        return redirect("office-site")
    return render(request, "office/site.html", {"form": form, "shop_name": shop.name})
