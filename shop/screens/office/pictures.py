"""Pictures: the list, a new one, one of them; what takes seconds is brought in piece by piece."""

from io import BytesIO
from typing import Any

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from PIL import Image

from shop.picture.colours import rgb_of
from shop.plan.drawing import NOTHING, Kept, kept_from
from shop.plan.drawing_work import Lettering
from shop.plan.from_drawing import shop_sugars
from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.picture_asks import (
    USUAL_ORDER,
    Opened,
    Plain,
    Ready,
    how_of,
    names_of,
    opened,
    ready,
)
from shop.screens.office.picture_forms import (
    LETTERS,
    AgainForm,
    FileForm,
    NewGridForm,
    OrderForm,
    TextForm,
    WhatIfForm,
    order_as_typed,
    sugar_choices,
)
from shop.screens.office.picture_hand import HAND, CouldNot
from shop.screens.office.picture_page import decided_page, seen_page, sums_of, worked_page
from shop.screens.office.proof import proof_lines
from shop.screens.office.wording import moment
from shop.store import drawings, files
from shop.store.errors import NotHere, StoreError
from shop.store.shapes import NewVersion, ShopInfo

NEWEST = 60
GRIDS = (20, 40)
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
def new_picture(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Three ways in: a file, a text, the bench grid."""
    kind = request.POST.get("kind", "")
    how_in = {"file": _from_file, "text": _from_text}
    posted = request.method == "POST" and kind in how_in
    file_form = FileForm(*((request.POST, request.FILES) if posted and kind == "file" else ()))
    text_form = TextForm(*((request.POST,) if posted and kind == "text" else ()), auto_id="text_%s")
    form = {"file": file_form, "text": text_form}.get(kind)
    if posted and form is not None and form.is_valid():
        try:
            return redirect("office-picture", how_in[kind](request, shop, form))
        except (CouldNot, StoreError) as wrong:
            form.add_error(None, str(wrong))
    context = {"file_form": file_form, "text_form": text_form, "shop_name": shop.name}
    return render(request, "office/picture_new.html", context, status=400 if posted else 200)


def _from_file(request: HttpRequest, shop: ShopInfo, form: Any) -> str:
    c, order = form.cleaned_data, form.order(USUAL_ORDER)
    choice = (c["colours"], c["background"] or None, c["see_through"] or None)
    kept = HAND.now("from_file", c["file"], how_of(shop, order), *choice)
    made = {"from": "file", **{k: c[k] for k in ("colours", "background", "see_through")}}
    source = files.keep_upload(shop_id=shop.id, data=c["file"], media=media_of(c["file"]))
    return _kept(request, shop, c["title"], order, (kept, made, "Read from a file", source))


def media_of(data: bytes) -> str:
    """PNG or JPEG, as the file's first bytes say."""
    return "image/png" if data.startswith(b"\x89PNG") else "image/jpeg"


def _from_text(request: HttpRequest, shop: ShopInfo, form: Any) -> str:
    c, order = form.cleaned_data, form.order(USUAL_ORDER)
    asked = Lettering(c["text"], c["ring"], c["ink"], c["ground"], round(c["height"] * 1000))
    kept = HAND.now("from_text", asked, how_of(shop, order))
    made = {"from": "text", "text": c["text"], "ring": c["ring"], "height_um": asked.height_um}
    title = c["title"] or c["text"]
    return _kept(request, shop, title, order, (kept, made, "Laid as letters", ""))


def _kept(
    request: HttpRequest,
    shop: ShopInfo,
    title: str,
    order: Plain,
    first: tuple[Kept, Plain, str, str],
) -> str:
    kept, made, what, source = first
    version = new_version(kept, made, what, source)
    by = request.user.get_username()
    return drawings.new_drawing(shop_id=shop.id, title=title, order=order, first=version, by=by).key


def new_version(kept: Kept, made: Plain, what: str, source: str = "") -> NewVersion:
    """A kept picture as the store takes it."""
    return NewVersion(what, kept.labels, {**kept.as_plain(), "made": made}, source)


@at_desk
def new_grid(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The blank bench grid; POST keeps what was drawn."""
    size = _grid_size(request)
    blank = "\n".join(["a" * size] * size)
    form = NewGridForm(request.POST or None, initial={"cells": blank})
    if request.method == "POST" and form.is_valid():
        c, order = form.cleaned_data, form.order(USUAL_ORDER)
        try:
            kept = HAND.now("from_grid", c["cells"], c["ground"], how_of(shop, order))
            first = (kept, {"from": "grid"}, "Drawn on the grid", "")
            return redirect("office-picture", _kept(request, shop, c["title"], order, first))
        except (CouldNot, StoreError) as wrong:
            form.add_error(None, str(wrong))
    return grid_page(request, shop, form, title="A new picture")


def _grid_size(request: HttpRequest) -> int:
    asked = request.GET.get("cells", "")
    return int(asked) if asked in map(str, GRIDS) else GRIDS[1]


def grid_page(request: HttpRequest, shop: ShopInfo, form: forms.Form, title: str) -> HttpResponse:
    """The grid with its swatches."""
    swatches = [
        (letter, sugar.name, sugar.swatch)
        for letter, sugar in zip(LETTERS, shop_sugars(), strict=False)
    ]
    context = {"form": form, "swatches": swatches, "title": title, "grids": GRIDS}
    status = 400 if form.is_bound else 200
    return render(
        request, "office/picture_grid.html", {**context, "shop_name": shop.name}, status=status
    )


@at_desk
def picture(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """One picture, at once; what takes seconds stands there or is asked for again."""
    one = opened(shop, key)
    context = {**_pieces(one), **_page(one, shop), "shop_name": shop.name}
    return render(request, "office/picture.html", context)


def _pieces(one: Opened) -> Plain:
    """The three pieces of long work as they stand, one after the other."""
    looked = ready(one.looked())
    if looked.waits or looked.wrong:
        return {
            **worked_context(one, looked),
            "decided": Ready(),
            "seen": Ready(),
            "waits": looked.waits,
        }
    decided, seen = ready(_decision(one)), ready(one.seen())
    return {
        **worked_context(one, looked),
        **decided_context(one, decided),
        **seen_context(one, seen),
        "waits": decided.waits or seen.waits,
    }


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


def worked_context(one: Opened, looked: Ready) -> Plain:
    """What the first piece shows."""
    page = worked_page(looked.what, one.how) if looked.what else None
    form = what_if(one, looked.what.drawn, None) if looked.what else None
    return {
        "info": one.info,
        "version": one.version,
        "worked": looked,
        "page": page,
        "what_if": form,
    }


def decided_context(one: Opened, decided: Ready) -> Plain:
    """What the second piece shows."""
    page = decided_page(decided.what) if decided.what else None
    return {"info": one.info, "decided": decided, "decision": page}


def seen_context(one: Opened, seen: Ready) -> Plain:
    """What the third piece shows."""
    page = seen_page(seen.what, one.how) if seen.what else None
    return {"info": one.info, "seen": seen, "face": page}


def _decision(one: Opened) -> Any:
    proofs = drawings.proofs(one.shop.id, one.info.key)
    return one.decided(approved=any(p.approved_by and p.stands for p in proofs))


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
    found = decided_context(one, ready(_decision(one)))
    return render(request, "office/picture_decided.html", found)


@at_desk
def seen(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The third piece, or that it is still worked on."""
    one = opened(shop, key)
    return render(request, "office/picture_seen.html", seen_context(one, ready(one.seen())))


@at_desk
def sums(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Grams and metres for a log, rod or densities that are tried out; nothing is kept."""
    one = opened(shop, key)
    looked = ready(one.looked())
    if looked.what is None:
        return render(request, "office/picture_parts.html", worked_context(one, looked))
    drawn = looked.what.drawn
    form = what_if(one, drawn, request.GET or None)
    found = None
    if form.is_valid():
        c = form.cleaned_data
        found = sums_of(drawn, _section(one, c), one.how, c["short"], c["have"])
    context = {"info": one.info, "what_if": form, "sums": found, "shop_name": shop.name}
    whole = "office/picture_sums_page.html"
    return render(
        request, "office/picture_sums.html" if request.headers.get("HX-Request") else whole, context
    )


def what_if(one: Opened, drawn: Any, data: Any) -> WhatIfForm:
    """The form that tries out, filled with what holds."""
    numbers = one.how.numbers
    initial = {
        "log": f"{one.how.log_mg / 1e6:g}",
        "rod": f"{one.how.rod_um / 1000:g}",
        **{k: f"{numbers[f'{k}_density'] / 1000:g}" for k in ("white", "light", "clear")},
    }
    used = {part.portion for part in drawn.parts}
    colours = [
        (c.id, c.name) for c in drawn.raster.palette if c.id in used and c.treatment != "white"
    ]
    return WhatIfForm(data, initial=initial, colours=colours)


def _section(one: Opened, c: Plain) -> Any:
    how = one.how
    numbers = {
        **how.numbers,
        **{f"{k}_density": round(c[k] * 1000) for k in ("white", "light", "clear")},
    }
    tried = type(how)(numbers, round(c["log"] * 1e6), round(c["rod"] * 1000))
    return tried.section


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
