"""A new picture: from a file, as letters, or drawn on the bench grid."""

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext

from shop.plan.drawing import Kept
from shop.plan.drawing_work import Lettering
from shop.plan.from_drawing import shop_sugars
from shop.screens.office.access import at_desk
from shop.screens.office.picture_asks import USUAL_ORDER, Plain, how_of
from shop.screens.office.picture_forms import LETTERS, FileForm, NewGridForm, TextForm
from shop.screens.office.picture_hand import HAND, CouldNot
from shop.sentences import Sentence, reason
from shop.store import drawings, files
from shop.store.errors import StoreError
from shop.store.shapes import NewVersion, ShopInfo

GRIDS = (20, 40)


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
            form.add_error(None, reason(wrong))
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
    size = grid_size(request)
    blank = "\n".join(["a" * size] * size)
    form = NewGridForm(request.POST or None, initial={"cells": blank})
    if request.method == "POST" and form.is_valid():
        c, order = form.cleaned_data, form.order(USUAL_ORDER)
        try:
            kept = HAND.now("from_grid", c["cells"], c["ground"], how_of(shop, order))
            first = (kept, {"from": "grid"}, "Drawn on the grid", "")
            return redirect("office-picture", _kept(request, shop, c["title"], order, first))
        except (CouldNot, StoreError) as wrong:
            form.add_error(None, reason(wrong))
    return grid_page(request, shop, form, title=gettext("A new picture"))


def grid_size(request: HttpRequest) -> int:
    """How many cells across, as the address asks."""
    asked = request.GET.get("cells", "")
    return int(asked) if asked in map(str, GRIDS) else GRIDS[1]


def grid_page(request: HttpRequest, shop: ShopInfo, form: forms.Form, title: str) -> HttpResponse:
    """The grid with its swatches."""
    swatches = [
        (letter, Sentence(sugar.name), sugar.swatch)
        for letter, sugar in zip(LETTERS, shop_sugars(), strict=False)
    ]
    context = {"form": form, "swatches": swatches, "title": title, "grids": GRIDS}
    status = 400 if form.is_bound else 200
    return render(
        request, "office/picture_grid.html", {**context, "shop_name": shop.name}, status=status
    )
