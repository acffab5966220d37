"""The store room: what lies there, what needs somebody, and one material."""

import secrets
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.text import slugify

from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.desk import signature
from shop.screens.office.stock_forms import CameForm, MaterialForm, as_stored
from shop.screens.office.stock_words import (
    KIND_WORDS,
    STATES,
    amount,
    best_before,
    is_past,
    lot_wants,
    wants,
)
from shop.screens.office.wording import named_day
from shop.sentences import reason
from shop.store import lot_moves, stock
from shop.store.errors import NotHere, StoreError
from shop.store.facts import refresh
from shop.store.shapes import ShopInfo
from shop.store.stock import LotInfo, MaterialInfo

MOST_GONE = 30
# The room shows so many lots of a material that nothing is wrong with; its own page shows all.
MOST_SOUND = 5


@dataclass(frozen=True, slots=True)
class LotLine:
    """A lot in a list; `flag` says why it is not to be used, `late` that it is past its date."""

    key: str
    mark: str
    supplier: str
    received: str
    best_before: str
    left: str
    boils: int
    flag: str
    late: bool


@dataclass(frozen=True, slots=True)
class MaterialLine:
    """A material with the lots that lie there; `more` are not in the list."""

    key: str
    name: str
    kind: str
    left: str
    low: bool
    in_use: bool
    lots: list[LotLine]
    more: int = 0


@dataclass(frozen=True, slots=True)
class RoomPage:
    """All of the store room, and what needs somebody."""

    materials: list[MaterialLine]
    wants: list[str]


@dataclass(frozen=True, slots=True)
class MaterialPage:
    """One material: its lots, those used up, and the forms."""

    line: MaterialLine
    gone: list[LotLine]
    came: CameForm
    form: MaterialForm


def today_at(shop: ShopInfo) -> date:
    """The shop's own day."""
    return timezone.now().astimezone(the_zone(shop)).date()


def by_of(request: HttpRequest, shop: ShopInfo) -> str:
    """Who does it: the person at this desk, else the name that is signed in."""
    return signature(request, shop).by or request.user.get_username()


def lot_line(lot: LotInfo, today: date) -> LotLine:
    return LotLine(
        key=lot.key,
        mark=lot.mark,
        supplier=lot.supplier,
        received=named_day(lot.received),
        best_before=best_before(lot, today),
        left=amount(lot.left, lot.kind),
        boils=lot.boils,
        flag=str(STATES[lot.state]),
        late=is_past(lot, today),
    )


def _line(
    material: MaterialInfo, mine: list[LotInfo], today: date, *, most: int | None = None
) -> MaterialLine:
    left = sum(lot.left for lot in mine if lot.state == "open")
    shown = _shown(mine, today, most)
    return MaterialLine(
        key=material.key,
        name=material.name,
        kind=str(KIND_WORDS[material.kind]),
        left=amount(left, material.kind),
        low=material.in_use and left < material.low,
        in_use=material.in_use,
        lots=[lot_line(lot, today) for lot in shown],
        more=len(mine) - len(shown),
    )


def _shown(mine: list[LotInfo], today: date, most: int | None) -> list[LotInfo]:
    """The oldest that are sound, and every one that somebody has to see to, in their order."""
    sound = [lot.key for lot in mine if not lot_wants(lot, today)]
    younger = set(sound[most:] if most else ())
    return [lot for lot in mine if lot.key not in younger]


@at_desk
def store_room(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """What lies there, the oldest lot of each first."""
    refresh(shop.id)
    today, known = today_at(shop), stock.materials(shop.id)
    here: dict[str, list[LotInfo]] = {one.key: [] for one in known}
    for lot in stock.lots(shop.id):
        here[lot.material].append(lot)
    lines = [
        _line(one, here[one.key], today, most=MOST_SOUND)
        for one in known
        if one.in_use or here[one.key]
    ]
    page = RoomPage(lines, [said for one in known for said in wants(one, here[one.key], today)])
    return render(request, "office/store_room.html", {"page": page, "shop_name": shop.name})


@at_desk
def new_material(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Something that was never bought before."""
    form = MaterialForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        key = _new_key(shop.id, form.cleaned_data["name"])
        _set(request, shop, key, form)
        return redirect("office-material", key)
    context = {"form": form, "shop_name": shop.name}
    return render(request, "office/material_new.html", context)


def _new_key(shop_id: int, name: str) -> str:
    taken = {one.key for one in stock.materials(shop_id)}
    base = slugify(name)[:30] or "material"
    return next(k for n in range(1000) if (k := f"{base}-{n + 1}" if n else base) not in taken)


def _set(request: HttpRequest, shop: ShopInfo, key: str, form: MaterialForm) -> None:
    c, in_use = form.cleaned_data, request.POST.get("rest") != "yes"
    stock.set_material(
        shop_id=shop.id,
        key=key,
        name=c["name"],
        kind=c["kind"],
        facts=form.facts(),
        in_use=in_use,
        by=by_of(request, shop),
    )
    messages.success(request, f"{c['name']} is kept: the next sheets name it so.")


def the_material(shop: ShopInfo, key: str) -> MaterialInfo:
    try:
        return stock.access_material(shop.id, key)
    except NotHere as missing:
        raise Http404(str(missing)) from missing


@at_desk
def material(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """One material; POST takes a lot in, or changes what is said of it."""
    known = the_material(shop, key)
    posted = {name: request.POST if name in request.POST else None for name in ("came", "change")}
    came = CameForm(posted["came"], kind=known.kind, initial=_coming(shop))
    form = MaterialForm(posted["change"], known=known)
    if posted["came"] and came.is_valid():
        _receive(request, shop, known, came)
        return redirect("office-material", key)
    if posted["change"] and form.is_valid():
        _set(request, shop, key, form)
        return redirect("office-material", key)
    refresh(shop.id)
    today, here = today_at(shop), stock.lots(shop.id, material=key)
    gone = stock.lots(shop.id, material=key, states=("gone",))[-MOST_GONE:][::-1]
    past = [lot_line(lot, today) for lot in gone]
    page = MaterialPage(_line(known, here, today), past, came, form)
    return render(request, "office/material.html", {"page": page, "shop_name": shop.name})


def _coming(shop: ShopInfo) -> dict[str, Any]:
    return {"received": today_at(shop), "key": secrets.token_hex(6)}


def _receive(request: HttpRequest, shop: ShopInfo, known: MaterialInfo, form: CameForm) -> None:
    c = form.cleaned_data
    try:
        lot_moves.receive(
            shop_id=shop.id,
            material=known.key,
            mark=c["mark"],
            supplier=c["supplier"],
            received=c["received"].isoformat(),
            best_before=c["best_before"].isoformat() if c["best_before"] else "",
            amount=as_stored(c["amount"], known.kind),
            facts=form.facts(),
            key=c["key"],
            by=by_of(request, shop),
        )
        messages.success(request, f"{known.name} {c['mark']} lies in the store room.")
    except StoreError as wrong:
        messages.error(request, reason(wrong))
