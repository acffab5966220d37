"""The training ladder of one person: what they were seen doing, and who signed it."""

import hashlib
import secrets
from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext, gettext_lazy
from django.views.decorators.http import require_POST

from shop.plan.numbers import shop_numbers
from shop.plan.skills import ladder as all_skills
from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.desk import signature, whom_to_ask
from shop.screens.office.ladder_page import (
    LadderPage,
    note_lines,
    seen_lines,
    skill_lines,
)
from shop.screens.office.people import the_person
from shop.sentences import Sentence, reason
from shop.store import numbers as store_numbers
from shop.store import people, skills
from shop.store.batches import named
from shop.store.clock import now_ms
from shop.store.errors import NotHere, StoreError
from shop.store.shapes import PersonInfo, ShopInfo
from shop.store.sign import Signer, sign, strike

# The newest boils that are looked through for what the floor recorded.
BOILS = 12
DAY = "%Y-%m-%d"
DID = [
    ("watch", gettext_lazy("Watched")),
    ("assist", gettext_lazy("Assisted")),
    ("solo", gettext_lazy("Did it alone, under eyes")),
]


class SkillForm(forms.Form):
    """What somebody was seen doing, several skills at once."""

    skill = forms.MultipleChoiceField(
        widget=forms.CheckboxSelectMultiple, label=gettext_lazy("Skills")
    )
    rung = forms.ChoiceField(choices=DID, label=gettext_lazy("How"))
    day = forms.DateField(
        input_formats=[DAY],
        widget=forms.DateInput(attrs={"type": "date"}, format=DAY),
        label=gettext_lazy("Day"),
    )
    note = forms.CharField(
        required=False,
        max_length=200,
        label=gettext_lazy("Note"),
        help_text=gettext_lazy("In a few words, if any."),
    )
    key = forms.CharField(max_length=32, widget=forms.HiddenInput)

    def __init__(self, data: Any, *, zone: ZoneInfo) -> None:
        self.today = timezone.now().astimezone(zone).date()
        super().__init__(data, initial={"day": self.today, "key": secrets.token_hex(16)})
        fields: dict[str, Any] = self.fields
        fields["skill"].choices = [(one.id, Sentence(one.name)) for one in all_skills()]

    def clean_day(self) -> date:
        day: date = self.cleaned_data["day"]
        if day > self.today:
            raise forms.ValidationError(f"{day} is yet to come; today is {self.today}.")
        return day


def _signer(request: HttpRequest, shop: ShopInfo) -> Signer:
    return Signer(request.user.get_username(), signature(request, shop).by)


def _moment(day: date, zone: ZoneInfo) -> int:
    """Noon of that day, or now where noon is yet to come [ms]."""
    return min(now_ms(), round(datetime.combine(day, time(12), zone).timestamp() * 1000))


def _page(shop: ShopInfo, who: PersonInfo) -> LadderPage:
    zone, now = the_zone(shop), now_ms()
    own = shop_numbers({k: n.value for k, n in store_numbers.numbers(shop.id).items()})
    times, days = own["solo_times"], own["rewatch_days"]
    names = {one.key: one.name for one in people.people(shop.id)}
    told = skills.noted(shop.id, who.key)
    there = named(shop.id, (note.boil for note in told if note.boil))
    boils = {
        b.key: gettext("boil %(letter)s, lot %(lot)s") % {"letter": b.letter, "lot": b.lot}
        for b in there
    }
    found = skills.standings(shop.id, who.key)
    return LadderPage(
        key=who.key,
        name=who.name,
        skills=skill_lines(found, times=times, now=now, zone=zone),
        notes=note_lines(told, boils, zone),
        seen=seen_lines(skills.seen(shop.id, who.key, most=BOILS), who.name, names, zone),
        times=times,
        days=days,
    )


@at_desk
def ladder(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """One person's ladder; POST signs what they were seen doing."""
    who, zone = the_person(shop, key), the_zone(shop)
    form = SkillForm(request.POST or None, zone=zone)
    if request.method == "POST" and form.is_valid():
        try:
            _sign_all(request, shop, key, form.cleaned_data)
            messages.success(request, gettext("Signed for %(name)s.") % {"name": who.name})
            return redirect("office-ladder", key)
        except StoreError as wrong:
            form.add_error(None, reason(wrong))
    context = {"page": _page(shop, who), "form": form, "who": whom_to_ask(request, shop)}
    return render(request, "office/ladder.html", {**context, "shop_name": shop.name})


def _sign_all(request: HttpRequest, shop: ShopInfo, person: str, c: dict[str, Any]) -> None:
    for skill in c["skill"]:
        sign(
            shop_id=shop.id,
            person=person,
            skill=skill,
            rung=c["rung"],
            happened=_moment(c["day"], the_zone(shop)),
            signer=_signer(request, shop),
            note=c["note"],
            # The same form sent twice is the same notes.
            key=hashlib.sha256(f"{c['key']} {skill}".encode()).hexdigest()[:32],
        )


@at_desk
@require_POST
def ladder_seen(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Signs what the floor recorded, as assisted."""
    who, asked = the_person(shop, key), (request.POST.get("batch"), request.POST.get("skill"))
    offers = skills.seen(shop.id, key, most=BOILS)
    offer = next((one for one in offers if (one.batch, one.skill) == asked), None)
    if offer is None:
        messages.error(request, gettext("That is signed already, or struck on the floor."))
        return redirect("office-ladder", key)
    try:
        sign(
            shop_id=shop.id,
            person=key,
            skill=offer.skill,
            rung="assist",
            happened=offer.at,
            signer=_signer(request, shop),
            boil=offer.batch,
            note=f"{_name(shop, offer.who)} stood beside",
        )
        messages.success(request, gettext("Signed for %(name)s.") % {"name": who.name})
    except StoreError as wrong:
        messages.error(request, reason(wrong))
    return redirect("office-ladder", key)


def _name(shop: ShopInfo, key: str) -> str:
    return next((one.name for one in people.people(shop.id) if one.key == key), key)


@at_desk
@require_POST
def ladder_strike(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """A wrong note is struck through; both stay."""
    the_person(shop, key)
    wrong, why = request.POST.get("note", ""), request.POST.get("why", "")[:200]
    try:
        strike(
            shop_id=shop.id, person=key, key=wrong, signer=_signer(request, shop), note=why.strip()
        )
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    except StoreError as refused:
        messages.error(request, reason(refused))
    return redirect("office-ladder", key)
