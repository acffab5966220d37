"""Our way: what the crew does, station by station, and the versions of it."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from shop.plan.check_way import why_not_dropped
from shop.plan.made_of import differences as programs_differences
from shop.plan.made_of import made_of
from shop.plan.own_way import (
    Flat,
    Own,
    applied,
    both_changed,
    dropped,
    programs_flat,
    read_own,
    stations_of,
    step_of,
)
from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.desk import may_not
from shop.screens.office.way_sheet import problems_of_draft
from shop.screens.office.way_words import Difference, differences, of_path
from shop.screens.office.wording import moment
from shop.sentences import reason
from shop.store import ways
from shop.store.errors import NotHere, StoreError
from shop.store.shapes import ShopInfo, WayInfo

LONGEST_NOTE = 200


@dataclass(frozen=True, slots=True)
class StepLine:
    """A step as it stands in the list; `stays`: why it can't be dropped."""

    id: str
    call: str
    say: str
    caution: str
    stop: int
    own: bool
    stays: str


@dataclass(frozen=True, slots=True)
class StationPart:
    """A station, its steps in order, and those that are known and dropped."""

    id: str
    name: str
    steps: list[StepLine]
    dropped: list[StepLine]


@dataclass(frozen=True, slots=True)
class VersionLine:
    """A version: who put it in force, when and why."""

    number: int
    was: int
    when: str
    by: str
    note: str


@dataclass(frozen=True, slots=True)
class WayPage:
    """The way as it is being worked on; `changed`: what is not in force yet; `both`: what the
    program and the shop changed; `program`: what the program alone did since."""

    stations: list[StationPart]
    draft: bool
    changed: list[Difference]
    problems: list[str]
    both: list[Difference]
    program: list[str]
    versions: list[VersionLine]
    number: int


def draft_of(shop: ShopInfo) -> tuple[Own, Flat]:
    """What is being worked on, as it is kept and whole."""
    own, _ = ways.draft(shop.id)
    return own, applied(own)


@at_desk
def way(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Stations and steps, what waits to be put in force, and every version."""
    own, flat = draft_of(shop)
    here = ways.newest(shop.id)
    page = WayPage(
        stations=[_station(flat, station, name) for station, name in stations_of(flat).items()],
        draft=ways.is_draft(shop.id),
        changed=differences(applied(read_own(here.text)), flat),
        problems=problems_of_draft(flat),
        both=_both(own, flat),
        program=_program(here),
        versions=[_version(shop, one) for one in ways.versions(shop.id)],
        number=here.number,
    )
    return render(request, "office/way.html", {"page": page, "shop_name": shop.name})


def _station(flat: Flat, station: str, name: str) -> StationPart:
    steps = [_step(flat, ident) for ident in flat[f"order/{station}"]]
    return StationPart(station, name, steps, [_step(flat, one) for one in dropped(flat, station)])


def _step(flat: Flat, ident: str) -> StepLine:
    call, say, caution, stop = (
        flat[f"steps/{ident}/{f}"] for f in ("call", "say", "caution", "stop")
    )
    own = step_of(flat, ident) != step_of(programs_flat(), ident)
    return StepLine(ident, call, say, caution, stop, own, why_not_dropped(ident))


def _both(own: Own, flat: Flat) -> list[Difference]:
    """What the program says now, beside what the shop set, where both changed it."""
    found = both_changed(own)
    return [one for path, (_, now, ours) in found.items() for one in of_path(path, now, ours, flat)]


def _program(here: WayInfo) -> list[str]:
    """What the program did to its way since this version was put in force."""
    if not here.text or (before := read_own(here.text)["program"]) == made_of():
        return []
    program = programs_flat()
    return [
        f"{how.capitalize()}: {program.get(f'steps/{step}/say', step)}"
        for how, steps in programs_differences(before, made_of()).items()
        for step in steps
    ]


def _version(shop: ShopInfo, one: WayInfo) -> VersionLine:
    return VersionLine(one.number, one.was, moment(one.at, the_zone(shop)), one.by, one.note)


@at_desk
@require_POST
def way_force(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """What was worked on holds from the next sheet on, or is forgotten."""
    if refused := may_not(request, shop, "change_way"):
        messages.error(request, refused)
    elif request.POST.get("forget"):
        ways.drop_draft(shop_id=shop.id)
        messages.success(request, gettext("Forgotten: our way stands as it was."))
    else:
        _force(request, shop)
    return redirect("office-way")


def _force(request: HttpRequest, shop: ShopInfo) -> None:
    why = request.POST.get("why", "").strip()[:LONGEST_NOTE]
    if not why:
        messages.error(request, gettext("Say why in a few words: whoever looks back will ask."))
        return
    try:
        made = ways.put_in_force(shop_id=shop.id, note_=why, by=request.user.get_username())
    except StoreError as wrong:
        messages.error(request, reason(wrong))
        return
    messages.success(
        request,
        f"Version {made.number} holds from the next sheet on. Boils that are open keep theirs.",
    )


@at_desk
@require_POST
def way_back(request: HttpRequest, shop: ShopInfo, number: int) -> HttpResponse:
    """An older version, or the program's (0), is in force again, as a new one."""
    by = request.user.get_username()
    try:
        if refused := may_not(request, shop, "change_way"):
            messages.error(request, refused)
        else:
            said = f"Version {number} taken back" if number else "The program's way taken back"
            made = ways.take_back(shop_id=shop.id, number=number, note_=said, by=by)
            messages.success(request, f"{said}: it is version {made.number} now.")
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    except StoreError as wrong:
        messages.error(request, reason(wrong))
    return redirect("office-way")


@at_desk
def way_between(request: HttpRequest, shop: ShopInfo, older: int, newer: int) -> HttpResponse:
    """Two versions beside each other, in words; 0 is the program's way."""
    try:
        before, after = (_flat(shop, number) for number in (older, newer))
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    context: dict[str, Any] = {
        "changed": differences(before, after),
        "older": older,
        "newer": newer,
    }
    return render(request, "office/way_between.html", {**context, "shop_name": shop.name})


def _flat(shop: ShopInfo, number: int) -> Flat:
    return (
        applied(read_own(ways.access_version(shop.id, number).text)) if number else programs_flat()
    )
