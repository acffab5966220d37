"""Pictures: the list, and one of them; what takes seconds is brought in piece by piece."""

from io import BytesIO

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from PIL import Image

from shop.picture.colours import rgb_of
from shop.plan.drawing import NOTHING, Kept, kept_from
from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.picture_asks import Opened, Plain, names_of, opened, ready
from shop.screens.office.picture_forms import AgainForm, OrderForm, order_as_typed, sugar_choices
from shop.screens.office.picture_pieces import (
    decided_context,
    decision,
    pieces,
    seen_context,
    worked_context,
)
from shop.screens.office.proof import proof_lines
from shop.screens.office.wording import moment
from shop.store import drawings
from shop.store.errors import NotHere
from shop.store.shapes import ShopInfo

NEWEST = 60
A_YEAR = 31_536_000


@at_desk
def pictures(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The shop's pictures, newest first."""
    found = drawings.drawings(shop.id, most=NEWEST)
    zone = the_zone(shop)
    lines = [(one, moment(one.at, zone)) for one in found]
    context = {"lines": lines, "most": NEWEST, "shop_name": shop.name}
    return render(request, "office/pictures.html", context)


@at_desk
def picture(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """One picture, at once; what takes seconds stands there or is asked for again."""
    one = opened(shop, key)
    context = {**pieces(one), **_page(one, shop), "shop_name": shop.name}
    return render(request, "office/picture.html", context)


def _page(one: Opened, shop: ShopInfo) -> Plain:
    zone, made = the_zone(shop), one.version.choices.get("made", {})
    history = [(v, moment(v.at, zone)) for v in drawings.history(shop.id, one.info.key)]
    typed = order_as_typed(one.info.title, one.info.order)
    colours = [(c.id, c.name, c.hex) for c in one.kept.palette]
    again = {k: made.get(k) for k in ("colours", "background", "see_through")}
    return {
        "info": one.info,
        "version": one.version,
        "history": history,
        "order_form": OrderForm(initial=typed, names=names_of(shop)),
        "again_form": AgainForm(initial=again) if one.version.source else None,
        "colours": colours,
        "sugars": sugar_choices(),
        "background": one.kept.background,
        "proofs": proof_lines(shop, one.info.key, zone),
        "days": one.how.numbers["proof_days"],
    }


@at_desk
def worked(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The first piece, or that it is still worked on."""
    one = opened(shop, key)
    return render(request, "office/picture_worked.html", worked_context(one, ready(one.looked())))


@at_desk
def parts(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Weights and parts, of the first piece of work as well."""
    one = opened(shop, key)
    return render(request, "office/picture_parts.html", worked_context(one, ready(one.looked())))


@at_desk
def decided(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The second piece, or that it is still worked on."""
    one = opened(shop, key)
    found = decided_context(one, ready(decision(one)))
    return render(request, "office/picture_decided.html", found)


@at_desk
def seen(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The third piece, or that it is still worked on."""
    one = opened(shop, key)
    return render(request, "office/picture_seen.html", seen_context(one, ready(one.seen())))


@at_desk
def image(request: HttpRequest, shop: ShopInfo, key: str, number: int) -> HttpResponse:
    """A version in the shop's colours, as it was drawn. It never changes."""
    try:
        found = drawings.version(shop.id, key, number)
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    answer = HttpResponse(
        coloured(kept_from(found.labels, found.choices)), content_type="image/png"
    )
    answer["Cache-Control"] = f"private, max-age={A_YEAR}, immutable"
    return answer


def coloured(kept: Kept) -> bytes:
    """The kept pixels with their palette."""
    with Image.open(BytesIO(kept.labels)) as small:
        picture = small.convert("L").copy()
    shown = Image.frombytes("P", picture.size, picture.tobytes())
    table = [rgb_of(colour.hex) for colour in kept.palette]
    shown.putpalette([v for rgb in [*table, *[(255, 255, 255)] * (256 - len(table))] for v in rgb])
    out = BytesIO()
    shown.save(out, "PNG", transparency=NOTHING)
    return out.getvalue()
