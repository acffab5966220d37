"""Who works here, as they stand on the phones, and what each role may do."""

from dataclasses import dataclass, replace
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.text import slugify
from django.utils.translation import gettext, gettext_lazy
from django.views.decorators.http import require_POST

from shop.plan.crew import acts, roles
from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.site import UNITS
from shop.screens.office.wording import on_day
from shop.store import people as store_people
from shop.store import skills
from shop.store.access import access_person, desks
from shop.store.errors import NotHere
from shop.store.shapes import PersonInfo, ShopInfo

FOLLOWS = ("", gettext_lazy("As the shop"))


class PersonForm(forms.Form):
    """Somebody as they stand on the phones."""

    name = forms.CharField(
        max_length=40,
        label=gettext_lazy("Name"),
        help_text=gettext_lazy("As it should stand on the phones."),
    )
    role = forms.ChoiceField(label=gettext_lazy("Role"))
    units = forms.ChoiceField(required=False, label=gettext_lazy("Units"))
    language = forms.ChoiceField(required=False, label=gettext_lazy("Language"))

    def __init__(self, *given: Any, role: str = "", **more: Any) -> None:
        super().__init__(*given, **more)
        names = dict.fromkeys([one.name for one in roles()] + [role] * bool(role))
        fields: dict[str, Any] = self.fields
        fields["role"].choices = [(name, gettext(name)) for name in names]
        fields["units"].choices = [FOLLOWS, *UNITS]
        fields["language"].choices = [FOLLOWS, *settings.LANGUAGES]


@dataclass(frozen=True, slots=True)
class PersonLine:
    """A person as the desk sees them; `users` are the names under which they sign in there."""

    key: str
    name: str
    role: str
    pin: str
    users: list[str]
    state: str
    switch: str
    training: str = ""


@dataclass(frozen=True, slots=True)
class RoleLine:
    """A role, and what it may do in words."""

    name: str
    may: str


@dataclass(frozen=True, slots=True)
class PeoplePage:
    """Everybody, by name, and every role."""

    people: list[PersonLine]
    roles: list[RoleLine]


def person_line(person: PersonInfo, users: list[str], zone: ZoneInfo) -> PersonLine:
    state, switch = gettext("on the phones"), gettext("Take off")
    if not person.active:
        state, switch = gettext("not shown"), gettext("Put back")
    pin = "none"
    if person.pin_set:
        pin = gettext("set %(day)s") % {"day": on_day(person.pin_set, zone)}
    return PersonLine(person.key, person.name, gettext(person.role), pin, users, state, switch)


def role_lines() -> list[RoleLine]:
    words = acts()
    return [
        RoleLine(gettext(one.name), ", ".join(words[act] for act in one.may)) for one in roles()
    ]


def users_of(shop: ShopInfo) -> dict[str, list[str]]:
    """Person → the sign-in names that are theirs."""
    found: dict[str, list[str]] = {}
    for desk in desks(shop.id):
        found.setdefault(desk.person, []).append(desk.user)
    return found


def the_person(shop: ShopInfo, key: str) -> PersonInfo:
    """Somebody of this shop, or a page that says there is nobody of that name."""
    try:
        return access_person(shop.id, key)
    except NotHere as missing:
        raise Http404(str(missing)) from missing


@at_desk
def people(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Who works here; POST adds somebody."""
    form = PersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        name, by = form.cleaned_data["name"], request.user.get_username()
        key = _new_key(shop.id, name)
        store_people.set_person(shop_id=shop.id, key=key, by=by, **form.cleaned_data)
        said = gettext("%(name)s is on the phones from the next sheet on.")
        messages.success(request, said % {"name": name})
        return redirect("office-people")
    users, zone = users_of(shop), the_zone(shop)
    found = store_people.people(shop.id)
    lines = [person_line(one, users.get(one.key, []), zone) for one in found]
    told = skills.all_standings(shop.id)
    lines = [replace(line, training=_training(told.get(line.key, []))) for line in lines]
    context = {"page": PeoplePage(lines, role_lines()), "form": form, "shop_name": shop.name}
    return render(request, "office/people.html", context)


def _training(standings: list[skills.SkillStanding]) -> str:
    """What their ladder asks for."""
    asks = sum(one.rewatch for one in standings)
    return gettext("%(n)s to watch again") % {"n": asks} if asks else gettext("Ladder")


def _new_key(shop_id: int, name: str) -> str:
    """A key from the name that nobody has yet."""
    taken = {p.key for p in store_people.people(shop_id)}
    base = slugify(name)[:30] or "person"
    return next(k for n in range(1000) if (k := f"{base}-{n + 1}" if n else base) not in taken)


@at_desk
@require_POST
def person_switch(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """On the phones, or not; nobody is ever removed."""
    active = the_person(shop, key).active
    by = request.user.get_username()
    store_people.set_active(shop_id=shop.id, key=key, active=not active, by=by)
    return redirect("office-people")
