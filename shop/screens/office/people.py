"""Who works here, as they stand on the phones."""

from dataclasses import dataclass

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_POST

from shop.screens.office.access import at_desk
from shop.store import people as store_people
from shop.store.shapes import PersonInfo, ShopInfo

ROLES = ["lead maker", "second hand", "roller hand", "front and packing"]


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


@at_desk
def people(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Who works here; POST adds somebody."""
    form = PersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        name = form.cleaned_data["name"]
        key, role = _new_key(shop.id, name), form.cleaned_data["role"]
        by = request.user.get_username()
        store_people.set_person(shop_id=shop.id, key=key, name=name, role=role, by=by)
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


@at_desk
@require_POST
def person_switch(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """On the phones, or not; nobody is ever removed."""
    active = {p.key: p.active for p in store_people.people(shop.id)}
    if key not in active:
        raise Http404(f"There is no person {key!r} here.")
    by = request.user.get_username()
    store_people.set_active(shop_id=shop.id, key=key, active=not active[key], by=by)
    return redirect("office-people")
