"""The company's shops: what each has on the floor, what needs someone; who may open which."""

from dataclasses import dataclass

from django import forms
from django.contrib import messages
from django.contrib.auth import get_user_model
from django.contrib.auth.decorators import login_required, user_passes_test
from django.contrib.auth.models import AbstractBaseUser, AnonymousUser
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext, gettext_lazy
from django.views.decorators.http import require_POST

from shop.launch.secrets import new_password
from shop.screens.office.access import desk_at, the_zone, user_id
from shop.screens.office.phones_page import phone_lines
from shop.screens.office.reading import read_in_common
from shop.screens.office.today_page import Boil, boil, day_of
from shop.sentences import reason
from shop.store import phones, read, shops
from shop.store.access import desk_shops, desks
from shop.store.backup import is_embedded
from shop.store.batches import batches
from shop.store.clock import now_ms
from shop.store.errors import StoreError
from shop.store.shapes import ShopInfo


@dataclass(frozen=True, slots=True)
class ShopLine:
    """One shop: its open boils, and what asks for somebody there."""

    slug: str
    name: str
    day: str
    boils: list[Boil]
    phones: list[str]
    asides: int
    users: list[str]


@dataclass(frozen=True, slots=True)
class ShopsPage:
    """`may_change`: this user runs the company's office; `password` is shown once."""

    shops: list[ShopLine]
    may_change: bool
    may_add: bool


def is_company(user: AbstractBaseUser | AnonymousUser) -> bool:
    """Whether this user may add shops and say who opens which."""
    return bool(getattr(user, "is_staff", False))


class ShopForm(forms.Form):
    """A new shop of the company."""

    name = forms.CharField(max_length=80)
    slug = forms.SlugField(
        max_length=40,
        label=gettext_lazy("Short name"),
        help_text=gettext_lazy("It stands in addresses."),
    )

    def clean_slug(self) -> str:
        return str(self.cleaned_data["slug"]).lower().replace("_", "-")


class DeskForm(forms.Form):
    """Who may open this shop's office."""

    user = forms.CharField(max_length=40, label=gettext_lazy("Sign-in name"))


def _line(shop: ShopInfo) -> ShopLine:
    open_boils = [
        boil(info, read.batch_sheet(info), read.batch_state(info))
        for info in batches(shop.id, "open")
    ]
    checks, now = phones.looked_over(shop.id), now_ms()
    lines = phone_lines(phones.phones(shop.id), checks, now=now, zone=the_zone(shop))
    return ShopLine(
        slug=shop.slug,
        name=shop.name,
        day=day_of(timezone.now().astimezone(the_zone(shop)).date()),
        boils=open_boils,
        phones=[f"{one.name}: {one.holds}; {one.kit}" for one in lines if one.trouble],
        asides=read.count_asides(shop.id),
        users=[desk.user for desk in desks(shop.id)],
    )


@login_required
def all_shops(request: HttpRequest) -> HttpResponse:
    """The shops this user may open; POST adds one."""
    user = request.user
    read_in_common(desk_shops(user_id(request)))
    form = ShopForm(request.POST or None)
    may_add = is_company(user) and not is_embedded()
    if request.method == "POST" and may_add and form.is_valid():
        try:
            made = shops.create_shop(**form.cleaned_data)
            shops.give_desk(shop_id=made.id, user_id=user_id(request), by=user.get_username())
            return redirect("office-shops")
        except StoreError as wrong:
            form.add_error("slug", reason(wrong))
    lines = [_line(shop) for shop in desk_shops(user_id(request))]
    page = ShopsPage(lines, is_company(user), may_add)
    context = {"page": page, "form": form, "desk": DeskForm()}
    return render(request, "office/shops.html", context)


@user_passes_test(is_company)
@require_POST
def desk(request: HttpRequest, slug: str) -> HttpResponse:
    """Gives somebody this shop's desk, or takes it; a name that is new becomes a user."""
    shop = desk_at(request, slug)
    form = DeskForm(request.POST)
    if not form.is_valid():
        messages.error(request, gettext("A sign-in name has from 1 to 40 characters."))
        return redirect("office-shops")
    name = form.cleaned_data["user"]
    user = get_user_model().objects.filter(username=name).first()
    if request.POST.get("take"):
        return _take(request, shop, user)
    if user is None:
        password = new_password()
        user = get_user_model().objects.create_user(username=name, password=password)
        messages.success(request, f"{name} signs in with {password}, shown this once.")
    shops.give_desk(shop_id=shop.id, user_id=user.pk, by=request.user.get_username())
    messages.success(request, f"{name} may open {shop.name}.")
    return redirect("office-shops")


def _take(request: HttpRequest, shop: ShopInfo, user: AbstractBaseUser | None) -> HttpResponse:
    if user is None or user.pk == request.user.pk:
        messages.error(
            request, gettext("Nobody takes their own desk away, nor one that was not given.")
        )
    else:
        shops.take_desk(shop_id=shop.id, user_id=user.pk, by=request.user.get_username())
        messages.success(request, f"{user.get_username()} may not open {shop.name} any more.")
    return redirect("office-shops")
