"""Injuries and near misses: read by few, added by hand or from a phone, erased for good."""

import secrets
from dataclasses import dataclass
from datetime import datetime
from functools import wraps
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext, gettext_lazy
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_POST

from shop.screens.office.access import View, at_desk, reads_restricted, the_zone
from shop.screens.office.shops import is_company
from shop.screens.office.wording import moment, on_day
from shop.store import incidents as store
from shop.store.backup import KEEP_DAYS, KEEP_MONTHS, is_embedded
from shop.store.errors import NotHere
from shop.store.shapes import ShopInfo

AT = "%Y-%m-%dT%H:%M"
KINDS = [("near miss", gettext_lazy("Near miss")), ("injury", gettext_lazy("Injury"))]


class IncidentForm(forms.Form):
    """A note written at the desk."""

    kind = forms.ChoiceField(choices=KINDS, label=gettext_lazy("What it was"))
    happened = forms.DateTimeField(
        input_formats=[AT],
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format=AT),
        label=gettext_lazy("When"),
    )
    text = forms.CharField(
        max_length=store.MOST_CHARACTERS,
        widget=forms.Textarea(attrs={"rows": 5}),
        label=gettext_lazy("In words"),
        help_text=gettext_lazy(
            "What happened and what was changed since. Names only where they are needed."
        ),
    )
    key = forms.CharField(max_length=32, widget=forms.HiddenInput)

    def __init__(self, data: Any, *, zone: ZoneInfo) -> None:
        now = timezone.now().astimezone(zone).replace(tzinfo=None)
        super().__init__(data, initial={"happened": now, "key": secrets.token_hex(16)})
        self.zone = zone

    def clean_happened(self) -> int:
        """The moment, as the shop's clocks showed it [ms]."""
        shown: datetime = self.cleaned_data["happened"].replace(tzinfo=self.zone)
        if shown > timezone.now():
            raise forms.ValidationError(f"{shown:%d %b %Y, %H:%M} is yet to come.")
        return round(shown.timestamp() * 1000)


@dataclass(frozen=True, slots=True)
class IncidentLine:
    """A note in words."""

    key: str
    kind: str
    happened: str
    text: str
    told: str


@dataclass(frozen=True, slots=True)
class IncidentsPage:
    """The notes; who reads them, where this user may change that; how long backups hold one."""

    notes: list[IncidentLine]
    readers: list[store.Reader]
    may_change: bool
    embedded: bool
    days: int
    months: int


def for_readers(view: View) -> View:
    """A page only for those who were let read the notes, or run the company; never kept by a
    browser. To others as if there were no such page."""

    @at_desk
    @cache_control(no_store=True)
    @wraps(view)
    def page(request: HttpRequest, shop: ShopInfo, *args: Any, **more: Any) -> HttpResponseBase:
        if not reads_restricted(request, shop):
            raise Http404("There is no such page.")
        return view(request, shop, *args, **more)

    return page


def _line(one: store.Incident, zone: ZoneInfo) -> IncidentLine:
    by = f"on {one.phone}" if one.phone else f"by {one.by}"
    return IncidentLine(
        key=one.key,
        kind=str(dict(KINDS)[one.kind]),
        happened=moment(one.happened, zone),
        text=one.text,
        told=f"{moment(one.told, zone)}, {by}",
    )


def _page(request: HttpRequest, shop: ShopInfo) -> IncidentsPage:
    zone = the_zone(shop)
    return IncidentsPage(
        notes=[_line(one, zone) for one in store.incidents(shop.id)],
        readers=store.readers(shop.id),
        may_change=is_company(request.user),
        embedded=is_embedded(),
        days=KEEP_DAYS,
        months=KEEP_MONTHS,
    )


@for_readers
def incidents(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Every note; POST adds one."""
    form = IncidentForm(request.POST or None, zone=the_zone(shop))
    if request.method == "POST" and form.is_valid():
        by = request.user.get_username()
        store.tell(shop_id=shop.id, by=by, **form.cleaned_data)
        messages.success(request, gettext("Written down."))
        return redirect("office-injuries")
    context = {"page": _page(request, shop), "form": form, "shop_name": shop.name}
    return render(request, "office/incidents.html", context)


@for_readers
@require_POST
def erase(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """A note is gone for good; that one of that day was erased, and by whom, is kept."""
    key, by = request.POST.get("note", ""), request.user.get_username()
    found = {one.key: one for one in store.incidents(shop.id)}
    if key not in found:
        raise Http404("There is no such note here.")
    day = on_day(found[key].happened, the_zone(shop))
    if store.erase(shop_id=shop.id, key=key, day=day, by=by):
        messages.success(request, f"A note of {day} is erased.")
    else:
        messages.warning(
            request,
            f"A note of {day} is erased. The database was being read, so its own log may hold the "
            "words until the next erasure or restart.",
        )
    return redirect("office-injuries")


@for_readers
@require_POST
def readers(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Lets a user read the notes, or no longer; only who runs the company says so."""
    if not is_company(request.user):
        raise Http404("There is no such page.")
    user, reads = request.POST.get("user", ""), request.POST.get("reads") == "yes"
    try:
        by = request.user.get_username()
        store.let_read(shop_id=shop.id, user=user, reads=reads, by=by)
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    return redirect("office-injuries")
