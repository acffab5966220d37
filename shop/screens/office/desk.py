"""Who sits at this desk: which of the shop's people, what their role may do, their password."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.contrib.auth.views import PasswordChangeView
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.urls import reverse_lazy
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_POST

from shop.plan.crew import acts, who_may
from shop.screens.office.access import at_desk, user_id
from shop.screens.office.reading import read_in_common
from shop.store.access import access_person, desk_person, desk_shops
from shop.store.errors import NotHere
from shop.store.people import people
from shop.store.shapes import PersonInfo, ShopInfo
from shop.store.shops import note_password, say_who

# How an act of a signed-in desk says that its person is known (docs/contracts.md, section 2).
DESK = "desk"


@dataclass(frozen=True, slots=True)
class Signature:
    """Whose act it is and how that is known; both empty for a desk that has not said who it is."""

    by: str
    signed: str | None


def signature(request: HttpRequest, shop: ShopInfo) -> Signature:
    """What an act of this desk carries."""
    person = desk_person(shop.id, user_id(request))
    return Signature(person, DESK if person else None)


def may_not(request: HttpRequest, shop: ShopInfo, act: str) -> str:
    """Why the person at this desk may not do this; nothing where they may, or nobody said who."""
    person = desk_person(shop.id, user_id(request))
    who = access_person(shop.id, person) if person else None
    if who is None or who.role in who_may(act):
        return ""
    others = " or ".join(who_may(act))
    return f"{who.name} is {who.role}; who may {acts()[act]}: {others}."


def whom_to_ask(request: HttpRequest, shop: ShopInfo) -> list[PersonInfo]:
    """The people this desk may be, as long as nobody has said who it is."""
    if desk_person(shop.id, user_id(request)):
        return []
    return people(shop.id, active_only=True)


@at_desk
@require_POST
def this_is_me(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """From now on the acts of this user carry that person."""
    user, person = request.user.get_username(), request.POST.get("person", "")
    try:
        say_who(shop_id=shop.id, user=user, person=person, by=user)
        name = access_person(shop.id, person).name
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    messages.success(
        request,
        gettext("You are %(name)s: what you do at this desk is signed so.") % {"name": name},
    )
    return redirect("office-today")


class Password(PasswordChangeView):
    """The own password, as Django changes it; the sessions of others under it end."""

    template_name = "office/password.html"
    success_url = reverse_lazy("office-today")

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if request.user.is_authenticated:
            read_in_common(desk_shops(user_id(request)))
        return super().dispatch(request, *args, **kwargs)

    def form_valid(self, form: Any) -> HttpResponse:
        note_password(user_id=user_id(self.request))
        messages.success(self.request, _("Your password is changed."))
        return super().form_valid(form)
