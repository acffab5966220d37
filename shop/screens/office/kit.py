"""Phones, people and the shop's numbers."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django import forms
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_POST

from shop.screens.office.access import the_shop, the_zone
from shop.screens.office.wording import moment
from shop.store import people as store_people
from shop.store import phones as store_phones
from shop.store.errors import NotHere
from shop.store.shapes import PersonInfo, Phone

ROLES = ["lead maker", "second hand", "roller hand", "front and packing"]


@dataclass(frozen=True, slots=True)
class PhoneLine:
    """A device as the desk sees it."""

    device: str
    name: str
    station: str
    added: str
    seen: str
    entries: int
    state: str
    can_lock: bool


@dataclass(frozen=True, slots=True)
class PhonesPage:
    """`code` is a new code, shown once."""

    phones: list[PhoneLine]
    code: str


def _phone(phone: Phone, zone: ZoneInfo) -> PhoneLine:
    locked = f"locked out {moment(phone.locked_out_at, zone)}"
    state = locked if phone.locked_out_at else "in use"
    return PhoneLine(
        device=phone.device,
        name=phone.name,
        station=phone.station,
        added=moment(phone.added, zone),
        seen=moment(phone.seen, zone),
        entries=phone.entries,
        state="the shop's server" if phone.is_server else state,
        can_lock=not phone.is_server and not phone.locked_out_at,
    )


def _phones(request: HttpRequest, code: str = "") -> HttpResponse:
    shop = the_shop()
    lines = [_phone(phone, the_zone(shop)) for phone in store_phones.phones(shop.id)]
    page = PhonesPage(lines, code)
    return render(request, "office/phones.html", {"page": page, "shop_name": shop.name})


@login_required
def phones(request: HttpRequest) -> HttpResponse:
    """Every device of the shop."""
    return _phones(request)


@login_required
@require_POST
def phone_code(request: HttpRequest) -> HttpResponse:
    """A code that adds one phone."""
    return _phones(request, store_phones.new_code(the_shop().id))


@login_required
@require_POST
def phone_lock(request: HttpRequest, device: str) -> HttpResponse:
    """From now on this phone is refused; what it holds stays on it."""
    try:
        store_phones.lock_out(shop_id=the_shop().id, device=device)
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    messages.success(request, f"{device} is locked out. What it still holds stays on it.")
    return redirect("office-phones")


class PersonForm(forms.Form):
    """Somebody new."""

    name = forms.CharField(max_length=40, help_text="As it should stand on the phones.")
    role = forms.ChoiceField(choices=[(role, role) for role in ROLES])


@dataclass(frozen=True, slots=True)
class PersonLine:
    """A person as the desk sees them."""

    key: str
    name: str
    role: str
    state: str
    switch: str


@dataclass(frozen=True, slots=True)
class PeoplePage:
    """Everybody, by name."""

    people: list[PersonLine]


def _person(person: PersonInfo) -> PersonLine:
    state, switch = ("on the phones", "Take off") if person.active else ("not shown", "Put back")
    return PersonLine(person.key, person.name, person.role, state, switch)


@login_required
def people(request: HttpRequest) -> HttpResponse:
    """Who works here; POST adds somebody."""
    shop = the_shop()
    form = PersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        name = form.cleaned_data["name"]
        store_people.set_person(
            shop_id=shop.id, key=_new_key(shop.id, name), name=name, role=form.cleaned_data["role"]
        )
        messages.success(request, f"{name} is on the phones from the next sheet on.")
        return redirect("office-people")
    page = PeoplePage([_person(p) for p in store_people.people(shop.id)])
    context = {"page": page, "form": form, "shop_name": shop.name}
    return render(request, "office/people.html", context)


def _new_key(shop_id: int, name: str) -> str:
    """A key from the name that nobody has yet."""
    taken = {p.key for p in store_people.people(shop_id)}
    base = slugify(name)[:30] or "person"
    return next(k for n in range(1000) if (k := f"{base}-{n + 1}" if n else base) not in taken)


@login_required
@require_POST
def person_switch(request: HttpRequest, key: str) -> HttpResponse:
    """On the phones, or not; nobody is ever removed."""
    shop = the_shop()
    active = {p.key: p.active for p in store_people.people(shop.id)}
    if key not in active:
        raise Http404(f"There is no person {key!r} here.")
    store_people.set_active(shop_id=shop.id, key=key, active=not active[key])
    return redirect("office-people")
