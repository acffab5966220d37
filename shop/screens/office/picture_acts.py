"""What is done to a picture: mended, recoloured, cut up otherwise, drawn over, taken back."""

from collections.abc import Callable
from io import BytesIO
from typing import Any

import numpy as np
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST
from PIL import Image

from shop.plan.drawing import NOTHING, Kept
from shop.plan.from_drawing import shop_sugars
from shop.screens.office.access import at_desk
from shop.screens.office.picture_asks import Opened, Plain, names_of, opened
from shop.screens.office.picture_forms import LETTERS, AgainForm, GridForm, OrderForm
from shop.screens.office.picture_hand import HAND, CouldNot
from shop.screens.office.picture_new import grid_page, grid_size, new_version
from shop.sentences import reason
from shop.store import drawings, files
from shop.store.errors import StoreError
from shop.store.shapes import ShopInfo

Act = Callable[[HttpRequest, Opened], str]


@at_desk
@require_POST
def change(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """One act on the picture as it stands; the sentence says what was done or why not."""
    one, act = opened(shop, key), ACTS.get(request.POST.get("act", ""))
    try:
        if act is None:
            raise CouldNot("There is no such act.")
        if _is_late(request, one):
            raise CouldNot("The picture has been changed meanwhile. Look at it again.")
        messages.success(request, act(request, one))
    except (CouldNot, StoreError) as wrong:
        messages.error(request, reason(wrong))
    return redirect("office-picture", key)


def _is_late(request: HttpRequest, one: Opened) -> bool:
    """Whether the page that asks shows another version than the one that stands."""
    return request.POST.get("on", "") not in ("", str(one.info.current))


def _mend(request: HttpRequest, one: Opened) -> str:
    repair, place = request.POST.get("repair", ""), request.POST.get("place", "")
    try:
        x, y = (int(v) for v in place.split(","))
    except ValueError as bad:
        raise CouldNot(f"The place is {place[:40]!r}; it must be two numbers.") from bad
    kept = HAND.now("mended", one.kept, one.how, (x, y), repair)
    return _keep(request, one, kept, f"Mended a place: {repair}")


def _mend_all(request: HttpRequest, one: Opened) -> str:
    kept = HAND.now("mended", one.kept, one.how, None, "")
    return _keep(request, one, kept, "Mended everywhere")


def _recolour(request: HttpRequest, one: Opened) -> str:
    ids = [colour.id for colour in one.kept.palette]
    becomes = {old: request.POST.get(f"becomes-{old}", old) for old in ids}
    background = request.POST.get("background", one.kept.background)
    kept = HAND.now("recolour", one.kept, one.how, becomes, background)
    return _keep(request, one, kept, "Other colours")


def _again(request: HttpRequest, one: Opened) -> str:
    """The kept file read once more."""
    form = AgainForm(request.POST)
    if not one.version.source or not form.is_valid():
        raise CouldNot(f"The file can't be read again so. {_errors(form)}")
    c = form.cleaned_data
    data = files.read_file(one.shop.id, one.version.source)[1].read_bytes()
    choice = (c["colours"], c["background"] or None, c["see_through"] or None)
    kept = HAND.now("from_file", data, one.how, *choice)
    made = {**one.version.choices.get("made", {}), **c}
    return _keep(request, one, kept, "Read from the file again", made)


def _rename(request: HttpRequest, one: Opened) -> str:
    part, name = request.POST.get("part", ""), request.POST.get("name", "")
    edit = {"act": "rename", "part": part, "name": name}
    return _edit(request, one, edit, f"{part} is now {name}")


def _split(request: HttpRequest, one: Opened) -> str:
    part, way = request.POST.get("part", ""), request.POST.get("way", "")
    return _edit(request, one, {"act": "split", "part": part, "way": way}, f"Cut {part} {way}")


def _stack(request: HttpRequest, one: Opened) -> str:
    part, rods = request.POST.get("part", ""), request.POST.get("rods", "")
    if not rods.isascii() or not rods.isdigit() or len(rods) > 3:
        raise CouldNot(f"The rods are {rods[:20]!r}; write a number from 2 to 40.")
    edit = {"act": "stack", "part": part, "rods": int(rods)}
    return _edit(request, one, edit, f"Stacked {part} from {int(rods)} rods")


def _merge(request: HttpRequest, one: Opened) -> str:
    parts = request.POST.getlist("parts")
    edit = {"act": "merge", "parts": parts}
    return _edit(request, one, edit, f"Made one of {', '.join(parts)}")


def _edit(request: HttpRequest, one: Opened, edit: Plain, what: str) -> str:
    return _keep(request, one, HAND.now("with_edit", one.kept, one.how, edit), what)


def _undo(request: HttpRequest, one: Opened) -> str:
    by = request.user.get_username()
    drawings.take_back(shop_id=one.shop.id, key=one.info.key, by=by)
    return f"Taken back: {one.version.what}."


def _order(request: HttpRequest, one: Opened) -> str:
    form = OrderForm(request.POST, names=names_of(one.shop))
    if not form.is_valid():
        raise CouldNot(_errors(form))
    order, by = form.order(one.info.order), request.user.get_username()
    title = form.cleaned_data["title"]
    drawings.set_order(shop_id=one.shop.id, key=one.info.key, title=title, order=order, by=by)
    return "Written down."


def _errors(form: Any) -> str:
    said = [f"{form[name].label}: {error}" for name, all_ in form.errors.items() for error in all_]
    return " ".join(said)


def _keep(
    request: HttpRequest, one: Opened, kept: Kept, what: str, made: Plain | None = None
) -> str:
    drawings.add_version(
        shop_id=one.shop.id,
        key=one.info.key,
        on=one.info.current,
        version=new_version(
            kept, made or one.version.choices.get("made", {}), what, one.version.source
        ),
        by=request.user.get_username(),
    )
    return f"{what}."


ACTS: dict[str, Act] = {
    "mend": _mend,
    "mend-all": _mend_all,
    "recolour": _recolour,
    "again": _again,
    "rename": _rename,
    "split": _split,
    "stack": _stack,
    "merge": _merge,
    "undo": _undo,
    "order": _order,
}


@at_desk
def grid(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The picture on the bench grid; POST keeps what was drawn as its next version."""
    one = opened(shop, key)
    start = {"cells": cells_of(one.kept, grid_size(request)), "ground": one.kept.background}
    form = GridForm(request.POST or None, initial=start)
    if request.method == "POST" and form.is_valid():
        c = form.cleaned_data
        try:
            kept = HAND.now("from_grid", c["cells"], c["ground"], one.how)
            messages.success(request, _keep(request, one, kept, "Drawn on the grid"))
            return redirect("office-picture", key)
        except (CouldNot, StoreError) as wrong:
            form.add_error(None, reason(wrong))
    return grid_page(request, shop, form, title=one.info.title)


def cells_of(kept: Kept, size: int) -> str:
    """The kept picture as `size` × `size` cells, each the colour of its middle."""
    with Image.open(BytesIO(kept.labels)) as image:
        labels = np.asarray(image)
    at = ((np.arange(size) + 0.5) * len(labels) / size).astype(int)
    sugars = [sugar.id for sugar in shop_sugars()]
    letters = {n: LETTERS[sugars.index(c.id)] for n, c in enumerate(kept.palette)}
    ground = LETTERS[sugars.index(kept.background)]
    return "\n".join(
        "".join(ground if v == NOTHING else letters[int(v)] for v in row)
        for row in labels[np.ix_(at, at)]
    )
