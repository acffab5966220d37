"""Whose desk an office page is at: the shop, and which batch of it.

A desk of one shop is under /office/. Where the company has several, each shop's desk is under
/at/<shop>/office/, so that two windows with two shops can't be mixed up.
"""

import re
from collections.abc import Callable
from functools import partial, wraps
from typing import Any, TypeAlias, cast
from zoneinfo import ZoneInfo

from django.conf import settings
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import get_script_prefix, set_script_prefix

from shop.screens.office.reading import read_in
from shop.store.access import access_batch, access_desk, desk_shops
from shop.store.errors import NotHere
from shop.store.incidents import may_read
from shop.store.shapes import BatchInfo, ShopInfo

View: TypeAlias = Callable[..., HttpResponseBase]

AT_SHOP = re.compile(r"/at/([-a-z0-9]{1,40})(/office/.*)")


class DeskRequest(HttpRequest):
    """A request of the office: the shop its address names, and whether there are others."""

    slug: str
    several: bool
    reads_restricted: Callable[[], bool]


def at_shop(answer: View) -> View:
    """Middleware: takes /at/<shop> off the address, and has every link made with it."""

    def handle(request: HttpRequest) -> HttpResponseBase:
        named = AT_SHOP.fullmatch(request.path_info)
        if named is None:
            return answer(request)
        before = get_script_prefix()
        cast(DeskRequest, request).slug, request.path_info = named.groups()
        set_script_prefix(f"/at/{named[1]}/")
        try:
            return answer(request)
        finally:
            set_script_prefix(before)

    return handle


def at_desk(view: View) -> View:
    """A page of the shop whose desk this user may sit at; the view gets the shop.

    Signed out: to the sign-in. Another's shop, or none: as if there were no such page. Several and
    none named: to the list of them.
    """

    @wraps(view)
    @login_required
    def page(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if slug := getattr(request, "slug", ""):
            cast(DeskRequest, request).several = True
            return _seated(view, request, desk_at(request, slug), args, kwargs)
        shops = desk_shops(user_id(request), most=2)
        if not shops:
            return render(request, "office/no_desk.html", status=403)
        if len(shops) > 1:
            return redirect("office-shops")
        return _seated(view, request, shops[0], args, kwargs)

    return page


def _seated(
    view: View, request: HttpRequest, shop: ShopInfo, args: Any, kwargs: Any
) -> HttpResponseBase:
    """A template may ask whether the restricted notes are for this desk; only then it is known."""
    cast(DeskRequest, request).reads_restricted = partial(reads_restricted, request, shop)
    read_in(shop)
    return view(request, shop, *args, **kwargs)


def reads_restricted(request: HttpRequest, shop: ShopInfo) -> bool:
    """Whether the notes on injuries are for this user: let read them, or running the company."""
    runs = bool(getattr(request.user, "is_staff", False))
    return runs or may_read(shop.id, user_id(request))


def desk_at(request: HttpRequest, slug: str) -> ShopInfo:
    """The shop of this name, where this user has a desk; else a page that says there is none."""
    try:
        return access_desk(user_id(request), slug)
    except NotHere as missing:
        raise Http404(str(missing)) from missing


def user_id(request: HttpRequest) -> int:
    """Who is signed in."""
    return cast(int, request.user.pk)


def neighbours(request: HttpRequest, shop: ShopInfo) -> list[ShopInfo]:
    """The other shops whose office this user may open."""
    return [one for one in desk_shops(user_id(request)) if one.id != shop.id]


def the_zone(shop: ShopInfo) -> ZoneInfo:
    """The shop's time zone; the program's where the shop sets none."""
    return ZoneInfo(shop.settings.get("time_zone", settings.TIME_ZONE))


def the_batch(shop: ShopInfo, key: str) -> BatchInfo:
    """The batch of this shop, or a page that says there is none."""
    try:
        return access_batch(shop.id, key)
    except NotHere as missing:
        raise Http404(str(missing)) from missing
