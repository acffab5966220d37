"""The scrap tin: what may be melted into which boil and how much, or why not."""

import secrets
from dataclasses import dataclass
from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, gettext_lazy
from django.views.decorators.http import require_POST

from shop.plan.rework import Rework
from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.stock_words import amount
from shop.screens.office.store_room import by_of
from shop.screens.office.wording import on_day
from shop.sentences import reason
from shop.store import scrap
from shop.store.access import access_batch
from shop.store.batches import batches
from shop.store.errors import NotHere, StoreError
from shop.store.scrap import TinInfo
from shop.store.shapes import BatchInfo, ShopInfo

NEWEST, KILO = 12, 1_000_000
WHAT_WORDS = {
    "ends": "Head and tail",
    "seconds": "Bad pieces, trial cuts",
    "dust": "Dust and chips",
    "portion": "One sort of sugar",
    "floor": "Swept from the floor",
}
SPOILT = ("", "glass or blade damage", "scorched", "wet or sticky", "fell on the floor")


class FillForm(forms.Form):
    """Sugar of a finished boil that is kept."""

    boil = forms.ChoiceField(
        label=gettext_lazy("Boil"), help_text=gettext_lazy("One that is closed or given up.")
    )
    what = forms.ChoiceField(label=gettext_lazy("What"), choices=list(WHAT_WORDS.items()))
    kg = forms.DecimalField(
        min_value=0, max_value=60, decimal_places=3, label=gettext_lazy("How much, kg")
    )
    spoilt = forms.ChoiceField(
        required=False,
        choices=[(word, gettext_lazy(word or "no")) for word in SPOILT],
        label=gettext_lazy("Spoilt"),
    )
    key = forms.CharField(max_length=24, widget=forms.HiddenInput)

    def __init__(self, *given: Any, done: list[BatchInfo], **more: Any) -> None:
        super().__init__(*given, **more)
        fields: dict[str, Any] = self.fields
        fields["boil"].choices = [(b.key, f"{b.lot}, {b.title}") for b in done]


class MoveForm(forms.Form):
    """So much of a tin into a boil, or `boil` "" into the bin."""

    boil = forms.CharField(max_length=64, required=False)
    kg = forms.DecimalField(min_value=0, max_value=60, decimal_places=6)
    words = forms.CharField(max_length=180, required=False)
    move = forms.CharField(max_length=24)


@dataclass(frozen=True, slots=True)
class Verdict:
    """A boil this tin may go into, up to `most`, or why not; `mind` is worth knowing."""

    boil: str
    lot: str
    title: str
    most: str
    kg: str
    why_not: tuple[str, ...]
    mind: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TinRow:
    """A tin as the page shows it."""

    key: str
    batch: str
    lot: str
    title: str
    what: str
    left: str
    kg: str
    at: str
    facts: list[str]
    swatch: str
    spoilt: str
    verdicts: list[Verdict]
    move: str


@dataclass(frozen=True, slots=True)
class ScrapPage:
    """Every tin with something in it; what finished boils have weighed and nobody has kept."""

    tins: list[TinRow]
    total: str
    loose: list[str]


@at_desk
def scrap_tin(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The tins; POST fills one."""
    done = batches(shop.id, *scrap.DONE, most=NEWEST)
    start = {"key": secrets.token_hex(12), "boil": request.GET.get("boil", "")}
    form = FillForm(request.POST or None, done=done, initial=start)
    if request.method == "POST" and form.is_valid():
        return _filled(request, shop, form.cleaned_data)
    page = _page(shop, done)
    return render(
        request, "office/scrap_tin.html", {"page": page, "form": form, "shop_name": shop.name}
    )


def _filled(request: HttpRequest, shop: ShopInfo, c: dict[str, Any]) -> HttpResponse:
    try:
        tin = scrap.fill(
            shop_id=shop.id,
            batch=c["boil"],
            what=c["what"],
            mg=round(c["kg"] * KILO),
            spoilt=c["spoilt"],
            key=c["key"],
            by=by_of(request, shop),
        )
        messages.success(request, f"Kept: {amount(tin.mg, '')} of {tin.lot}.")
    except StoreError as wrong:
        messages.error(request, reason(wrong))
    return redirect("office-scrap")


def _page(shop: ShopInfo, done: list[BatchInfo]) -> ScrapPage:
    waiting = batches(shop.id, *scrap.BEFORE, most=NEWEST)
    tins = scrap.tins(shop.id)
    said = scrap.judged(shop.id, tins, waiting)
    rows = [_row(shop, tin, [_verdict(b, said[tin.key, b.key]) for b in waiting]) for tin in tins]
    return ScrapPage(rows, amount(sum(tin.left for tin in tins), ""), _loose(shop, done))


def _loose(shop: ShopInfo, done: list[BatchInfo]) -> list[str]:
    """What the newest boils have weighed of scrap that is in no tin."""
    found, left = [], scrap.to_keep(shop.id, done)
    for batch in done:
        some = left[batch.key].items()
        said = [f"{WHAT_WORDS[w].lower()} {amount(mg, '')}" for w, mg in some if mg]
        if said:
            found.append(f"{batch.lot}, {batch.title}: {', '.join(said)}")
    return found


def _row(shop: ShopInfo, tin: TinInfo, verdicts: list[Verdict]) -> TinRow:
    facts = tin.facts
    allergens = ", ".join(facts.get("allergens", [])) or "no allergen"
    said = ["sour" if facts.get("sour") else "not sour", facts.get("flavour", ""), allergens]
    return TinRow(
        key=tin.key,
        batch=tin.batch,
        lot=tin.lot,
        title=tin.title,
        what=WHAT_WORDS[tin.what],
        left=amount(tin.left, ""),
        kg=f"{tin.left / KILO:g}",
        at=on_day(tin.at, the_zone(shop)),
        facts=[one for one in said if one],
        swatch=facts.get("swatch", "#000000"),
        spoilt=facts.get("spoilt", ""),
        verdicts=verdicts,
        move=secrets.token_hex(12),
    )


def _verdict(batch: BatchInfo, found: Rework) -> Verdict:
    return Verdict(
        boil=batch.key,
        lot=batch.lot,
        title=batch.title,
        most=amount(found.most, ""),
        kg=f"{found.most / KILO:g}",
        why_not=found.why_not,
        mind=found.mind,
    )


@at_desk
@require_POST
def tin(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Some of a tin is melted into a boil, or binned."""
    form = MoveForm(request.POST)
    try:
        known = scrap.access_tin(shop.id, key)
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    if not form.is_valid():
        messages.error(request, gettext("Say how many kilograms."))
        return redirect("office-scrap")
    try:
        messages.success(request, _moved(request, shop, known, form.cleaned_data))
    except StoreError as wrong:
        messages.error(request, reason(wrong))
    return redirect("office-scrap")


def _moved(request: HttpRequest, shop: ShopInfo, known: TinInfo, c: dict[str, Any]) -> str:
    mg, by = round(c["kg"] * KILO), by_of(request, shop)
    plain: dict[str, Any] = {"shop_id": shop.id, "key": known.key, "mg": mg, "by": by}
    if not c["boil"]:
        scrap.put_in_bin(words=c["words"], move=c["move"], **plain)
        return f"{amount(mg, '')} of {known.lot} is in the bin."
    scrap.melt(batch=c["boil"], move=c["move"], **plain)
    into = access_batch(shop.id, c["boil"])
    return (
        f"{amount(mg, '')} of {known.lot} goes into {into.lot}: weigh that much less of the rest."
    )
