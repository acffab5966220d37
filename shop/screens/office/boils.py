"""All boils, newest first, and the search in them."""

from typing import Any
from urllib.parse import urlencode

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _

from shop.picture.colours import nearest_swatches
from shop.screens.office.access import at_desk, the_batch
from shop.screens.office.boils_page import BoilsPage, boils_page, colour_name, went_off_words
from shop.store import batches, boils, read
from shop.store.boils import Sought
from shop.store.errors import NotHere
from shop.store.shapes import ShopInfo

# What went on since is read at most about so long for one page [s]; then it says what is left.
READS_S: float | None = 0.3
# Of the shop's swatches that are like a colour, so many are looked for.
MOST_NEAR = 24
ANOTHER = "another"


class SoughtForm(forms.Form):
    """What a boil is looked for by; all of it may be left out."""

    words = forms.CharField(
        required=False,
        max_length=120,
        label=_("Customer, picture, flavour, lot, remark"),
        widget=forms.TextInput(attrs={"type": "search", "autofocus": True}),
    )
    month = forms.RegexField(
        r"^\d{4}-(0[1-9]|1[0-2])$",
        required=False,
        label=_("Month"),
        widget=forms.TextInput(attrs={"type": "month", "placeholder": "2026-11"}),
    )
    off = forms.ChoiceField(required=False, label=_("What went off"))
    colour = forms.RegexField(r"^(#[0-9a-f]{6}|another)$", required=False)
    tint = forms.RegexField(
        r"^#[0-9a-f]{6}$",
        required=False,
        label=_("Another colour"),
        widget=forms.TextInput(attrs={"type": "color"}),
    )
    customer = forms.CharField(required=False, max_length=80)

    def __init__(self, data: Any, *, marks: list[tuple[str, str]]) -> None:
        super().__init__(data)
        fields: dict[str, Any] = self.fields
        fields["off"].choices = [("", "–"), (boils.ANY_OFF, _("Anything")), *marks]

    def sought(self, shop: ShopInfo) -> Sought:
        """What is looked for; of a field that is filled in wrongly nothing."""
        given = {**dict.fromkeys(self.fields, ""), **self.cleaned_data}
        colour = given["tint"] if given["colour"] == ANOTHER else given["colour"]
        return Sought(
            **{name: given[name] for name in ("words", "month", "off", "customer")},
            swatches=_like(shop, colour) if colour else None,
        )


def _like(shop: ShopInfo, colour: str) -> tuple[str, ...]:
    known = boils.all_swatches(shop.id, for_s=READS_S)
    return tuple(nearest_swatches(colour, known)[:MOST_NEAR])


@at_desk
def all_boils(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Boils, newest first, that are like what is asked for; `after` names the last that was seen.

    `beside` names a boil that another one shall be laid beside.
    """
    form = SoughtForm(request.GET, marks=_marks(shop))
    form.is_valid()
    context = {
        "form": form,
        "page": _page(request, shop, form),
        "colours": [(c, colour_name(c)) for c in boils.newest_swatches(shop.id)],
        "another": ANOTHER,
        "shop_name": shop.name,
    }
    return render(request, "office/boils.html", context)


def _page(request: HttpRequest, shop: ShopInfo, form: SoughtForm) -> BoilsPage:
    asked = {key: str(value) for key, value in request.GET.items() if value and key != "after"}
    beside = asked.get("beside", "")
    try:
        found = boils.boils(
            shop.id, form.sought(shop), after=request.GET.get("after", ""), for_s=READS_S
        )
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    return boils_page(
        found,
        query=urlencode({k: v for k, v in asked.items() if k != "beside"}),
        customer=asked.get("customer", ""),
        beside=the_batch(shop, beside) if beside else None,
        sought=bool(asked.keys() & {"words", "month", "off", "colour", "customer"}),
    )


def _marks(shop: ShopInfo) -> list[tuple[str, str]]:
    """Marks and checks as on the newest sheet."""
    newest = batches.batches(shop.id, most=1)
    return went_off_words(read.batch_sheet(newest[0])) if newest else []
