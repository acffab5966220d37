"""What stands on every label, and the paper the shop has, as a form with its history."""

from typing import Any

from django import forms
from django.contrib import messages
from django.forms.formsets import BaseFormSet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shop.labels.label import Lines
from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.wording import on_day
from shop.sentences import reason
from shop.store.changes import changes
from shop.store.errors import OutOfRange
from shop.store.label_settings import (
    LABELS,
    MOST_SIZES,
    PAPERS,
    LabelSettings,
    Size,
    label_settings,
    set_label_settings,
)
from shop.store.shapes import ShopInfo

UM, MM2 = 1000, 100
SHOWN = 300


class LinesForm(forms.Form):
    """The shop's own lines."""

    business = forms.CharField(max_length=80, label=_("Name of the business"))
    address = forms.CharField(max_length=160, help_text=_("As it must stand on the label."))
    importer = forms.CharField(
        max_length=160,
        required=False,
        label=_("Name and address in the EU or NI"),
        help_text=_("For goods that go there from outside."),
    )
    origin = forms.CharField(
        max_length=40,
        required=False,
        label=_("Made in"),
        help_text=_("The country, on labels for the US."),
    )
    storage = forms.CharField(max_length=120, required=False, label=_("How to keep them"))
    months = forms.IntegerField(
        min_value=0,
        max_value=36,
        label=_("They keep for, months"),
        help_text=_(
            "0: no date. Sweets that are almost only sugar need none in the EU and UK; "
            "the lot stays on in any case."
        ),
    )
    age = forms.CharField(
        max_length=120,
        required=False,
        label=_("Line on choking and age"),
        help_text=_("The shop's own policy; empty for none."),
    )
    trace = forms.CharField(
        max_length=120,
        required=False,
        label=_("May contain"),
        help_text=_("Only after looking at the real risk on the table, the scales and the hands."),
    )
    nutrition = forms.CharField(
        max_length=400,
        required=False,
        label=_("Nutrition"),
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Small makers are often exempt; ask, and leave it empty if you are."),
    )


class SizeForm(forms.Form):
    """One label the shop has paper for; a row without a name is left out."""

    name = forms.CharField(max_length=40, required=False)
    wide = forms.IntegerField(min_value=20, max_value=200, required=False, label=_("Wide, mm"))
    high = forms.IntegerField(min_value=15, max_value=280, required=False, label=_("High, mm"))
    paper = forms.ChoiceField(choices=[(p, p) for p in PAPERS], required=False)
    face = forms.IntegerField(
        min_value=1, max_value=5000, required=False, label=_("Largest side of the bag, cm²")
    )

    def clean(self) -> dict[str, Any]:
        given = dict(super().clean() or {})
        if given.get("name"):
            for field in ("wide", "high", "paper", "face"):
                if not given.get(field) and field not in self.errors:
                    self.add_error(field, _("This is needed."))
        return given


SizeForms = forms.formset_factory(SizeForm, extra=1, max_num=MOST_SIZES, absolute_max=MOST_SIZES)


def _initial(settings: LabelSettings) -> list[dict[str, Any]]:
    return [
        {
            "name": size.name,
            "wide": size.wide_um // UM,
            "high": size.high_um // UM,
            "paper": size.paper,
            "face": size.face_mm2 // MM2,
        }
        for size in settings.sizes
    ]


def _sizes(rows: "BaseFormSet[SizeForm]") -> tuple[Size, ...]:
    given = [row.cleaned_data for row in rows if row.cleaned_data.get("name")]
    return tuple(
        Size(r["name"], r["wide"] * UM, r["high"] * UM, r["paper"], r["face"] * MM2) for r in given
    )


@at_desk
def settings(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The lines and sizes; a change holds for labels printed from now on."""
    own = label_settings(shop)
    initial = {name: getattr(own.lines, name) for name in LinesForm.base_fields}
    form = LinesForm(request.POST or None, initial=initial)
    rows = SizeForms(request.POST or None, initial=_initial(own), prefix="size")
    wrong = ""
    if request.method == "POST" and form.is_valid() and rows.is_valid():
        wrong = _kept(request, shop, form, _sizes(rows))
        if not wrong:
            messages.success(request, gettext("Written down: labels printed from now on say so."))
            return redirect("office-labels")
    context = {"form": form, "rows": rows, "wrong": wrong, "history": _history(shop)}
    return render(request, "office/label_settings.html", {**context, "shop_name": shop.name})


def _kept(request: HttpRequest, shop: ShopInfo, form: LinesForm, sizes: tuple[Size, ...]) -> str:
    """What is wrong with it; "" where it was written down."""
    if not sizes:
        return gettext("Keep at least one size of label.")
    said = LabelSettings(Lines(**form.cleaned_data), sizes)
    try:
        set_label_settings(shop=shop, settings=said, by=request.user.get_username())
    except OutOfRange as no:
        return reason(no)
    return ""


def _history(shop: ShopInfo) -> list[tuple[str, str, str, str, str]]:
    """Who changed which line, newest first."""
    found = [one for one in changes(shop.id, most=SHOWN) if one.about == LABELS]
    zone = the_zone(shop)
    return [(on_day(c.at, zone), c.by, c.what, c.before or "–", c.after or "–") for c in found]
