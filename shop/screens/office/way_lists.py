"""What our way has beside its steps: stations’ names, marks, cautions, reasons, burn drill."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, gettext_lazy
from django.views.decorators.http import require_POST

from shop.plan.made_of import made_of
from shop.plan.own_way import Flat, both_changed, file_of_way, own_of, settled, stations_of
from shop.screens.office.access import at_desk
from shop.screens.office.desk import may_not
from shop.screens.office.way import draft_of
from shop.screens.office.way_sheet import problems_of_draft
from shop.store import ways
from shop.store.shapes import ShopInfo

# Between the words of a caution and why, on its line.
WHY = ";"


class ListsForm(forms.Form):
    """One line each; the program's cautions and burn lines stay, and are shown beside."""

    marks = forms.CharField(
        widget=forms.Textarea(attrs={"rows": 7}),
        label=gettext_lazy("Marks, one press for what went off"),
        help_text=gettext_lazy("One a line."),
    )
    pass_reasons = forms.CharField(
        widget=forms.Textarea(attrs={"rows": 5}),
        label=gettext_lazy("Reasons to pass"),
        help_text=gettext_lazy("One a line."),
    )
    hazards = forms.CharField(
        widget=forms.Textarea(attrs={"rows": 11}),
        label=gettext_lazy("Cautions read together"),
        help_text="One a line: words; why. Where yours differ, the program's are read after them; "
        "none of the program's can be left out.",
    )
    burn = forms.CharField(
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        label=gettext_lazy("Burn drill, lines of this site"),
        help_text="One a line, shown after the drill's own: where the burn kit hangs, the way out. "
        "First aid itself is for your qualified first-aiders to say.",
    )

    def __init__(self, data: Any, flat: Flat) -> None:
        super().__init__(data, initial=_initial(flat))
        fields: dict[str, forms.Field] = self.fields
        for station, name in stations_of(flat).items():
            fields[f"station_{station}"] = forms.CharField(
                max_length=20, initial=name, label=f"Station {station}"
            )

    def values(self, flat: Flat) -> Flat:
        """What is set, path by path."""
        given = self.cleaned_data
        names = {
            f"stations/{one}/name": given[f"station_{one}"].strip() for one in stations_of(flat)
        }
        return {
            **names,
            "marks": _with_ids([{"words": line} for line in _lines(given["marks"])], flat["marks"]),
            "pass_reasons": _lines(given["pass_reasons"]),
            "hazards": _with_ids([_hazard(x) for x in _lines(given["hazards"])], flat["hazards"]),
            "burn/own": _lines(given["burn"]),
        }


def _initial(flat: Flat) -> dict[str, str]:
    return {
        "marks": "\n".join(mark["words"] for mark in flat["marks"]),
        "pass_reasons": "\n".join(flat["pass_reasons"]),
        "hazards": "\n".join(f"{one['words']}{WHY} {one['why']}" for one in flat["hazards"]),
        "burn": "\n".join(flat["burn/own"]),
    }


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]


def _hazard(line: str) -> dict[str, str]:
    words, _, why = line.partition(WHY)
    return {"words": words.strip(), "why": why.strip()}


def _with_ids(rows: list[dict[str, str]], before: list[dict[str, str]]) -> list[dict[str, str]]:
    """Each line with the id of the one it was: by its words, else by its place where as many stand.

    A line that is new gets an id of its own, never one the program may use.
    """
    by_words = {row["words"]: row["id"] for row in before}
    ids = [by_words.get(row["words"], "") for row in rows]
    if len(rows) == len(before):
        ids = [
            one or (b["id"] if b["id"] not in ids else "")
            for one, b in zip(ids, before, strict=True)
        ]
    fresh = (f"own_{n}" for n in range(1, 999) if f"own_{n}" not in {*ids, *by_words.values()})
    return [{"id": one or next(fresh), **row} for one, row in zip(ids, rows, strict=True)]


@at_desk
def way_lists(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The form; POST keeps it among what is being worked on."""
    own, flat = draft_of(shop)
    form = ListsForm(request.POST or None, flat)
    if request.method == "POST" and form.is_valid():
        if refused := may_not(request, shop, "change_way"):
            messages.error(request, refused)
        else:
            flat |= form.values(flat)
            ways.keep_draft(shop_id=shop.id, own=own_of(flat, own))
            messages.success(request, gettext("Kept. It holds when our way is put in force."))
        return redirect("office-way-lists")
    burn = file_of_way("words")["burn"]
    context = {"form": form, "burn": burn, "problems": problems_of_draft(flat)}
    return render(request, "office/way_lists.html", {**context, "shop_name": shop.name})


@at_desk
@require_POST
def way_settle(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Where the program and the shop both changed something: whose words stand from now on."""
    own, _ = draft_of(shop)
    path = request.POST.get("path", "")
    if path not in both_changed(own):
        raise Http404(f"Nothing is to be settled at {path!r}.")
    if refused := may_not(request, shop, "change_way"):
        messages.error(request, refused)
    else:
        now = settled(own, path, ours=request.POST.get("whose") != "program")
        ways.keep_draft(shop_id=shop.id, own={**now, "program": made_of()})
    return redirect("office-way")
