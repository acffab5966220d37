"""Goods called back: who has them, how to reach each, told or not yet, packs that came back."""

import secrets
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, gettext_lazy

from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.stock_words import between
from shop.screens.office.store_room import by_of
from shop.screens.office.wording import moment
from shop.sentences import reason
from shop.store import recall as store_recall
from shop.store.errors import NotHere, StoreError
from shop.store.recall import Holder, Recalled, RecallInfo
from shop.store.shapes import ShopInfo


class CallForm(forms.Form):
    """What is called back, and why."""

    lots = forms.CharField(required=False, widget=forms.HiddenInput)
    boils = forms.CharField(required=False, widget=forms.HiddenInput)
    key = forms.CharField(max_length=24, widget=forms.HiddenInput)
    why = forms.CharField(
        max_length=180,
        label=gettext_lazy("Why"),
        help_text=gettext_lazy("It stands on the list to print."),
    )


class ToldForm(forms.Form):
    """Somebody was told."""

    order = forms.CharField(max_length=20, required=False, widget=forms.HiddenInput)
    how = forms.CharField(max_length=180, label=gettext_lazy("How, and what came of it"))
    packs_back = forms.IntegerField(min_value=0, initial=0, label=gettext_lazy("Packs back now"))


@dataclass(frozen=True, slots=True)
class HolderRow:
    """Whoever has packs; `told` are lines, the newest first."""

    order: str
    who: str
    reach: list[str]
    packs: int
    back: int
    left: int
    boils: str
    days: str
    told: list[str]
    form: ToldForm


@dataclass(frozen=True, slots=True)
class RecallPage:
    """A recall to work through, and to print."""

    key: str
    why: str
    when: str
    by: str
    lots: list[str]
    boils: list[str]
    holders: list[HolderRow]
    packs: int
    back: int
    untold: int
    in_store: int


@at_desk
def called_back(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Every recall; POST begins one of the lots and boils it names."""
    if request.method == "POST":
        return _begin(request, shop)
    zone = the_zone(shop)
    lines = [(r.key, r.why, moment(r.at, zone), r.by) for r in store_recall.recalls(shop.id)]
    return render(request, "office/recalls.html", {"recalls": lines, "shop_name": shop.name})


def _begin(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    form = CallForm(request.POST)
    named = {key: request.POST.get(key, "").split() for key in ("lots", "boils")}
    if form.is_valid():
        c, by = form.cleaned_data, by_of(request, shop)
        try:
            key = store_recall.call_back(
                shop_id=shop.id, why=c["why"], key=c["key"], by=by, **named
            )
            return redirect("office-recall", key)
        except StoreError as wrong:
            messages.error(request, reason(wrong))
            return redirect("office-recalls")
    messages.error(request, gettext("Say why they are called back."))
    return redirect("office-trace")


@at_desk
def recall(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Who has the goods; POST writes down that somebody was told."""
    if request.method == "POST":
        return _tell(request, shop, key)
    page = _page(_recalled(shop, key), the_zone(shop))
    return render(request, "office/recall.html", {"page": page, "shop_name": shop.name})


def _recalled(shop: ShopInfo, key: str) -> Recalled:
    try:
        return store_recall.recalled(shop.id, key)
    except NotHere as missing:
        raise Http404(str(missing)) from missing


def _tell(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    _recalled(shop, key)
    form = ToldForm(request.POST)
    if form.is_valid():
        c = form.cleaned_data
        said: dict[str, Any] = {name: c[name] for name in ("order", "how", "packs_back")}
        try:
            store_recall.tell(shop_id=shop.id, key=key, by=by_of(request, shop), **said)
        except StoreError as wrong:
            messages.error(request, reason(wrong))
    else:
        messages.error(request, gettext("Say how they were told, and packs as a whole number."))
    return redirect("office-recall", key)


def _page(found: Recalled, zone: ZoneInfo) -> RecallPage:
    info: RecallInfo = found.info
    holders = [_row(one, zone, n) for n, one in enumerate(found.holders)]
    counted = [one for one in found.traced.boils if one.packs is not None]
    return RecallPage(
        key=info.key,
        why=info.why,
        when=moment(info.at, zone),
        by=info.by,
        lots=[f"{one.lot.name} {one.lot.mark}, {one.lot.supplier}" for one in found.traced.lots],
        boils=[_boil_words(one) for one in found.traced.boils],
        holders=holders,
        packs=sum(one.packs for one in holders),
        back=sum(one.back for one in holders),
        untold=sum(not one.told for one in holders),
        in_store=sum((one.packs or 0) - one.out for one in counted),
    )


def _boil_words(one: Any) -> str:
    scrap = f", through scrap of {', '.join(one.scrap_of)}" if one.scrap_of else ""
    return f"{one.lot}, {one.title}{scrap}"


def _row(one: Holder, zone: ZoneInfo, n: int) -> HolderRow:
    return HolderRow(
        order=one.order,
        who=one.customer if one.order else "Sold over the counter",
        reach=(one.reach.splitlines() if one.order else ["A notice at the counter and outside"])
        or ["Nothing is kept to reach them by"],
        packs=one.packs,
        back=one.back,
        left=one.packs - one.back,
        boils=", ".join(dict.fromkeys(one.boils)),
        days=between(one.first, one.last),
        told=[
            f"{moment(t.at, zone)}{f', {t.by}' if t.by else ''}: {t.how}{_back(t.packs_back)}"
            for t in one.told
        ],
        form=ToldForm(initial={"order": one.order}, auto_id=f"id_{n}_%s"),
    )


def _back(packs: int) -> str:
    return f"; {packs} back" if packs else ""


def call_form(lots: list[str], boils: list[str]) -> CallForm:
    """To begin a recall of these."""
    start = {"lots": " ".join(lots), "boils": " ".join(boils), "key": secrets.token_hex(12)}
    return CallForm(initial=start)
