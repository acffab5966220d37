"""Trace: from a sack to whoever got packs of it, and from packs to every sack."""

from dataclasses import dataclass, replace
from datetime import date

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.http import urlencode

from shop.screens.office.access import at_desk, the_batch
from shop.screens.office.recalls import CallForm, call_form
from shop.screens.office.stock_words import between
from shop.screens.office.store_room import LotLine, lot_line, today_at
from shop.screens.office.wording import named_day, phase_word
from shop.store import trace as store_trace
from shop.store.errors import NotHere
from shop.store.shapes import ShopInfo
from shop.store.stock import access_lot
from shop.store.trace import BoilTraced, Found, PacksOut, Traced

LOT, BOIL, ORDER = "lot", "boil", "order"


@dataclass(frozen=True, slots=True)
class LotRow:
    """A lot on the way, and the boils it is in."""

    line: LotLine
    name: str
    boils: str


@dataclass(frozen=True, slots=True)
class BoilRow:
    """A boil on the way in the office's words."""

    key: str
    lot: str
    title: str
    phase: str
    day: str
    packs: str
    out: int
    scrap_of: str


@dataclass(frozen=True, slots=True)
class OutRow:
    """Packs that are out; `order` "" over the counter."""

    order: str
    who: str
    reach: str
    boil: str
    packs: int
    days: str


@dataclass(frozen=True, slots=True)
class TracePage:
    """What was asked, what that may mean, and where it leads. `onward`: from lots to packs."""

    words: str
    title: str
    onward: bool
    lots: list[LotRow]
    boils: list[BoilRow]
    out: list[OutRow]
    packs: int
    found: list[tuple[str, str, str]]
    nothing: bool
    call: CallForm | None = None


@at_desk
def trace(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """`?find=` words; `?lot=`, `?boil=`, `?order=` one thing, `&way=back` from a boil to its lots.

    Words that mean one thing only are followed at once.
    """
    words = request.GET.get("find", "").strip()[:60]
    asked = {key: request.GET.get(key, "") for key in (LOT, BOIL, ORDER)}
    found = store_trace.find(shop.id, words)
    if not any(asked.values()) and len(only := _links(found)) == 1:
        asked |= {only[0][0]: only[0][1]}
    page = _page(shop, words, asked, request.GET.get("way") == "back", _links(found))
    context = {"page": page, "shop_name": shop.name, "today": today_at(shop)}
    return render(request, "office/trace.html", context)


def _links(found: Found) -> list[tuple[str, str, str]]:
    """Kind, id and words of everything that was found."""
    return [
        *((LOT, lot.key, f"{lot.name} {lot.mark}, {lot.supplier}") for lot in found.lots),
        *((BOIL, key, f"Boil {lot}, {title}") for key, lot, title in found.boils),
        *(
            (ORDER, number, f"Order {number}, {title}, {who}")
            for number, title, who in found.orders
        ),
    ]


def _page(
    shop: ShopInfo,
    words: str,
    asked: dict[str, str],
    back: bool,
    links: list[tuple[str, str, str]],
) -> TracePage:
    offered = [(f"?{urlencode({kind: key})}", said, kind) for kind, key, said in links]
    empty = TracePage(*(words, "", True, [], [], [], 0, offered), nothing=bool(words) and not links)
    if not any(asked.values()):
        return empty
    title, traced, onward = _followed(shop, asked, back)
    filled = _filled(empty, traced, today_at(shop))
    return replace(
        filled,
        title=title,
        onward=onward,
        found=offered if len(offered) > 1 else [],
        call=_call(asked[LOT], traced) if traced.out or asked[LOT] else None,
    )


def _followed(shop: ShopInfo, asked: dict[str, str], back: bool) -> tuple[str, Traced, bool]:
    """Heading, what hangs together, and whether it was followed from lots to packs."""
    if asked[LOT]:
        try:
            lot = access_lot(shop.id, asked[LOT])
        except NotHere as missing:
            raise Http404(str(missing)) from missing
        return f"{lot.name} {lot.mark}", store_trace.onward(shop.id, lots=[lot.key]), True
    if asked[ORDER]:
        boils = store_trace.boils_of_order(shop.id, asked[ORDER])
        return f"Order {asked[ORDER]}", store_trace.back(shop.id, boils), False
    batch = the_batch(shop, asked[BOIL])
    if back:
        return f"Boil {batch.lot}: what is in it", store_trace.back(shop.id, [batch.key]), False
    return f"Boil {batch.lot}", _both(shop, batch.key), False


def _both(shop: ShopInfo, key: str) -> Traced:
    """A boil both ways: every lot that is in it, and everybody who has packs of it or of what its
    scrap went into."""
    into, out = store_trace.back(shop.id, [key]), store_trace.onward(shop.id, boils=[key])
    known = {one.key for one in into.boils}
    more = tuple(one for one in out.boils if one.key not in known)
    return Traced(into.lots, (*into.boils, *more), out.out)


def _call(lot: str, traced: Traced) -> CallForm:
    """To call back what was asked: the lot, else the boils themselves."""
    return call_form([lot], []) if lot else call_form([], [b.key for b in traced.boils if b.direct])


def _filled(page: TracePage, traced: Traced, today: date) -> TracePage:
    return replace(
        page,
        lots=[
            LotRow(lot_line(one.lot, today), one.lot.name, ", ".join(one.boils))
            for one in traced.lots
        ],
        boils=[_boil_row(one) for one in traced.boils],
        out=[out_row(one) for one in traced.out],
        packs=sum(one.packs for one in traced.out),
    )


def _boil_row(one: BoilTraced) -> BoilRow:
    return BoilRow(
        key=one.key,
        lot=one.lot,
        title=one.title,
        phase=phase_word(one.phase),
        day=named_day(one.day) if one.day else "",
        packs="not counted" if one.packs is None else str(one.packs),
        out=one.out,
        scrap_of=", ".join(one.scrap_of),
    )


def out_row(one: PacksOut) -> OutRow:
    return OutRow(
        order=one.order,
        who=one.customer if one.order else "Over the counter",
        reach=one.reach,
        boil=one.boil,
        packs=one.packs,
        days=between(one.first, one.last),
    )
