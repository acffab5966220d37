"""Labels at the desk: a boil's label and its bags, the PDF, and what stands on every label."""

from typing import Any, cast

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shop.labels.label import Label
from shop.labels.places import PLACES, Place, place
from shop.screens.office.access import at_desk, the_batch, the_zone
from shop.screens.office.bags_page import bags_page
from shop.screens.office.label_lots import unsaid
from shop.screens.office.label_page import LabelPage, label_page, print_line
from shop.screens.office.label_pdf import label_pdf
from shop.sentences import reason
from shop.store import read
from shop.store.errors import LabelHeld, LabelStale, NotHere, OutOfRange
from shop.store.label_settings import LabelSettings, Size, label_settings
from shop.store.labels import (
    MOST_COPIES,
    access_printed,
    label_now,
    print_label,
    printed,
    usual_place,
)
from shop.store.shapes import BatchInfo, ShopInfo

CONFLICT, NOT_THERE = 409, 404


class Wanted(forms.Form):
    """Where the bags are sold and on which label."""

    place = forms.ChoiceField(label=_("Sold in"), choices=[(p, place(p).name) for p in PLACES])
    size = forms.TypedChoiceField(coerce=int, label=_("Label"))

    def __init__(self, settings: LabelSettings, **given: Any) -> None:
        super().__init__(**given)
        rows = [(n, _words(size)) for n, size in enumerate(settings.sizes)]
        cast(forms.ChoiceField, self.fields["size"]).choices = rows


class Copies(forms.Form):
    """How many."""

    copies = forms.IntegerField(min_value=1, max_value=MOST_COPIES)


def _words(size: Size) -> str:
    paper = "on a roll" if size.paper == "roll" else f"on {size.paper} sheets"
    return f"{size.name}: {size.wide_um // 1000} × {size.high_um // 1000} mm {paper}"


def _wanted(
    request: HttpRequest, settings: LabelSettings, usual: Place
) -> tuple[Wanted, Place, Size]:
    """What was chosen; the order's place and the first size where nothing or nonsense was."""
    given = request.POST or request.GET
    chosen = {"place": given.get("place", usual.id), "size": given.get("size", "0")}
    form = Wanted(settings, data=chosen)
    if not form.is_valid():
        form = Wanted(settings, data={"place": usual.id, "size": "0"})
        form.is_valid()
    return form, place(form.cleaned_data["place"]), settings.sizes[form.cleaned_data["size"]]


@at_desk
def label(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The label as it would be now; POST keeps it and shows it to be printed."""
    batch, settings = the_batch(shop, key), label_settings(shop)
    form, where, size = _wanted(request, settings, usual_place(batch))
    page, wrong, status = _page(shop, batch, where, size), "", 200
    if request.method == "POST":
        copies = Copies(request.POST)
        if not copies.is_valid():
            wrong = f"Copies: a whole number from 1 to {MOST_COPIES}."
        elif page.face is None:
            # Nothing is kept that could not be printed.
            wrong, status = (
                gettext("No label for %(lot)s yet: see below.") % {"lot": batch.lot},
                CONFLICT,
            )
        else:
            return _print(request, shop, batch, where, size, copies.cleaned_data["copies"])
    state, sheet = read.batch_state(batch), read.batch_sheet(batch)
    bags = bags_page(read.batch_report(batch), state, sheet.get("order", {}), where.id)
    context = {"page": page, "form": form, "wrong": wrong, "bags": bags, "shop_name": shop.name}
    context["unsaid"] = unsaid(shop, batch) if page.held else []
    return render(request, "office/label.html", context, status=status)


def _print(
    request: HttpRequest, shop: ShopInfo, batch: BatchInfo, where: Place, size: Size, copies: int
) -> HttpResponse:
    by = request.user.get_username()
    try:
        kept = print_label(shop=shop, batch=batch, where=where.id, size=size, copies=copies, by=by)
    except (LabelHeld, OutOfRange) as held:
        messages.error(request, str(held))
        return redirect("office-label", key=batch.key)
    return redirect("office-label-pdf", key=batch.key, number=kept.number)


def _page(shop: ShopInfo, batch: BatchInfo, where: Place, size: Size) -> LabelPage:
    answer, zone = label_now(shop, batch, where), the_zone(shop)
    now: dict[str, Label | None] = {where.id: answer.label}
    lines = []
    for one in printed(batch):
        if one.stale and one.place not in now:
            now[one.place] = label_now(shop, batch, place(one.place)).label
        lines.append(print_line(one, now.get(one.place), zone))
    what = (batch.key, batch.title, batch.lot)
    return label_page(what, answer, where, size, _copies(batch), lines)


def _copies(batch: BatchInfo) -> int:
    """Bags counted; before that as many as are expected, else as were ordered."""
    state, order = read.batch_state(batch), read.batch_sheet(batch).get("order", {})
    counts = (state["tallies"].get("bags"), state["figures"].get("packs"), order.get("packs"))
    return min(next((n for n in counts if n and n > 0), 1), MOST_COPIES)


@at_desk
def pdf(request: HttpRequest, shop: ShopInfo, key: str, number: int) -> HttpResponse:
    """A label that was kept, the same bytes each time; not once the boil is another."""
    batch = the_batch(shop, key)
    try:
        kept = access_printed(batch, number)
    except (LabelStale, NotHere) as no:
        status = CONFLICT if isinstance(no, LabelStale) else NOT_THERE
        context = {"why": reason(no), "back": reverse("office-label", kwargs={"key": key})}
        return render(
            request, "office/label_gone.html", {**context, "shop_name": shop.name}, status=status
        )
    answer = HttpResponse(
        label_pdf(kept.label, kept.size, kept.copies, kept.at), content_type="application/pdf"
    )
    answer["Content-Disposition"] = f'inline; filename="label-{batch.key}-{number}.pdf"'
    return answer
