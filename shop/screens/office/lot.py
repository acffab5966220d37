"""One lot of the store room: where every gram of it went, and what the desk does with it."""

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.stock_forms import LotForm, PapersForm, as_stored
from shop.screens.office.stock_words import MOVES, amount
from shop.screens.office.store_room import LotLine, by_of, lot_line, today_at
from shop.screens.office.wording import moment
from shop.sentences import reason
from shop.store import lot_moves, lots, stock
from shop.store.errors import NotHere, StoreError
from shop.store.facts import refresh
from shop.store.shapes import ShopInfo
from shop.store.stock import LotInfo, MaterialInfo

MOST_BOILS = 200


@dataclass(frozen=True, slots=True)
class LotPage:
    """One lot: where every gram went; `moves` by the desk, `taken` by boils."""

    line: LotLine
    material: MaterialInfo
    moves: list[tuple[str, str, str, str, str]]
    taken: list[tuple[str, str, str, str]]
    papers: PapersForm
    token: str
    is_held: bool
    is_gone: bool
    unit: str


def the_lot(shop: ShopInfo, key: str) -> LotInfo:
    try:
        return stock.access_lot(shop.id, key)
    except NotHere as missing:
        raise Http404(str(missing)) from missing


@at_desk
def lot(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """One lot: every move, every boil, and what to do with it."""
    refresh(shop.id)
    known = the_lot(shop, key)
    page = _lot_page(shop, known)
    context = {"page": page, "lot": known, "shop_name": shop.name}
    return render(request, "office/lot.html", context)


def _lot_page(shop: ShopInfo, known: LotInfo) -> LotPage:
    zone = the_zone(shop)
    told = [
        (moment(m.at, zone), str(MOVES.get(m.why, m.why)), _signed(m, known.kind), m.by, m.note)
        for m in lot_moves.moves(shop.id, known.key)
    ]
    boils = [
        (t.batch.key, t.batch.lot, t.batch.title, amount(t.amount, known.kind))
        for t in lots.taken(shop.id, known.key, most=MOST_BOILS)
    ]
    return LotPage(
        line=lot_line(known, today_at(shop)),
        material=stock.access_material(shop.id, known.material),
        moves=told,
        taken=boils,
        papers=PapersForm(facts=known.facts),
        token=secrets.token_hex(12),
        is_held=known.state == "held",
        is_gone=known.state == "gone",
        unit="pieces" if known.kind == stock.PIECES else "kg",
    )


def _signed(move: lot_moves.LotMoved, kind: str) -> str:
    if not move.amount:
        return ""
    sign = "+" if move.amount > 0 else "−"
    return f"{sign}{amount(abs(move.amount), kind)}"


@at_desk
@require_POST
def lot_act(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Counted, thrown away, sent back, held, released, used up, or its papers changed."""
    known = the_lot(shop, key)
    form = LotForm(request.POST, kind=known.kind)
    if not form.is_valid():
        said = (str(e) for errors in form.errors.values() for e in errors)
        messages.error(request, " ".join(said))
        return redirect("office-lot", key)
    try:
        ACTS[form.cleaned_data["act"]](request, shop, known, form.cleaned_data)
    except StoreError as wrong:
        messages.error(request, reason(wrong))
    return redirect("office-lot", key)


@at_desk
@require_POST
def lot_papers(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """What its own papers say."""
    known = the_lot(shop, key)
    form = PapersForm(request.POST, facts=known.facts)
    if form.is_valid():
        by = by_of(request, shop)
        lot_moves.set_papers(shop_id=shop.id, key=key, facts=form.facts(), by=by)
        messages.success(
            request, gettext("Kept. Labels printed of boils with it may be stale now.")
        )
    return redirect("office-lot", key)


def _moved(request: HttpRequest, shop: ShopInfo, lot: LotInfo, c: dict[str, Any]) -> None:
    plain: dict[str, Any] = {"shop_id": shop.id, "key": lot.key, "by": by_of(request, shop)}
    plain |= {"words": c["words"], "move": c["move"]}
    mg = as_stored(c["amount"] or 0, lot.kind)
    if c["act"] == "counted":
        lot_moves.count(left=mg, **plain)
    else:
        lot_moves.take_out(amount=mg, why=c["act"], **plain)


def _held(request: HttpRequest, shop: ShopInfo, lot: LotInfo, c: dict[str, Any]) -> None:
    act = lot_moves.hold if c["act"] == "held" else lot_moves.release
    act(shop_id=shop.id, key=lot.key, why=c["words"] or "not said", by=by_of(request, shop))


def _used_up(request: HttpRequest, shop: ShopInfo, lot: LotInfo, c: dict[str, Any]) -> None:
    lot_moves.use_up(shop_id=shop.id, key=lot.key, by=by_of(request, shop), words=c["words"])


ACTS: dict[str, Callable[[HttpRequest, ShopInfo, LotInfo, dict[str, Any]], None]] = {
    **dict.fromkeys(("counted", "thrown", "sent-back"), _moved),
    **dict.fromkeys(("held", "released"), _held),
    "use-up": _used_up,
}
