"""One person: name and role, their PIN, and who they are at the desk."""

from dataclasses import asdict, dataclass

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, gettext_lazy
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_POST

from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.people import PersonForm, PersonLine, person_line, the_person, users_of
from shop.sentences import reason
from shop.store import people as store_people
from shop.store import pins
from shop.store.access import desks
from shop.store.errors import BadPin, NotHere
from shop.store.shapes import ShopInfo
from shop.store.shops import say_who


class PinForm(forms.Form):
    """A PIN to be typed, or drawn."""

    pin = forms.CharField(
        required=False,
        label="PIN",
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off", "size": 6}),
        help_text=gettext_lazy(
            "4 to 6 figures, chosen by whoever it is for; left empty, six are drawn."
        ),
    )


@dataclass(frozen=True, slots=True)
class PersonPage:
    """Somebody; `pin` is shown once, `free` are sign-in names that nobody has said to be."""

    line: PersonLine
    pin: str
    free: list[str]


def _page(
    request: HttpRequest,
    shop: ShopInfo,
    key: str,
    *,
    form: PersonForm | None = None,
    pin_form: PinForm | None = None,
    pin: str = "",
) -> HttpResponse:
    known, users = the_person(shop, key), users_of(shop)
    line = person_line(known, users.get(key, []), the_zone(shop))
    plain = PersonForm(None, role=known.role, initial=asdict(known))
    context = {
        "page": PersonPage(line, pin, users.get("", [])),
        "form": form or plain,
        "pin_form": pin_form or PinForm(),
        "shop_name": shop.name,
    }
    return render(request, "office/person.html", context)


@at_desk
def person(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Somebody; POST changes how they stand on the phones."""
    known = the_person(shop, key)
    if request.method != "POST":
        return _page(request, shop, key)
    form = PersonForm(request.POST, role=known.role)
    if not form.is_valid():
        return _page(request, shop, key, form=form)
    by, active = request.user.get_username(), known.active
    store_people.set_person(shop_id=shop.id, key=key, active=active, by=by, **form.cleaned_data)
    said = gettext("%(name)s: so from the next sheet on.")
    messages.success(request, said % {"name": form.cleaned_data["name"]})
    return redirect("office-people")


@at_desk
@require_POST
@cache_control(no_store=True)
def person_pin(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """A PIN is set and shown this once, or taken away."""
    the_person(shop, key)
    by, form = request.user.get_username(), PinForm(request.POST)
    if request.POST.get("take"):
        pins.clear_pin(shop_id=shop.id, person=key, by=by)
        return redirect("office-person", key)
    try:
        typed = form.data.get("pin", "").strip()
        given = pins.set_pin(shop_id=shop.id, person=key, pin=typed, by=by)
    except BadPin as wrong:
        form.add_error("pin", reason(wrong))
        return _page(request, shop, key, pin_form=form)
    return _page(request, shop, key, pin=given)


@at_desk
@require_POST
def person_desk(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """A sign-in name is this person's from now on, or no longer."""
    known, user = the_person(shop, key), request.POST.get("user", "")
    person = "" if request.POST.get("take") else key
    held = {desk.user: desk.person for desk in desks(shop.id)}
    if not person and held.get(user) != key:
        raise Http404(f"{user!r} is not {known.name}'s.")
    try:
        say_who(shop_id=shop.id, user=user, person=person, by=request.user.get_username())
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    return redirect("office-person", key)
