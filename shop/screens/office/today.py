"""The desk's first page and the records behind it."""

from datetime import datetime
from typing import Any

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext

from shop.launch.places import backup_folder
from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.desk import whom_to_ask
from shop.screens.office.today_page import BackupLine, TodayPage, backup_line, boil, day_of
from shop.screens.office.warnings import warnings
from shop.sentences import reason
from shop.store import read, stock
from shop.store.backup import backups, is_embedded
from shop.store.batches import batches
from shop.store.errors import CannotBeShown, NotHere
from shop.store.shapes import BatchInfo, ShopInfo
from shop.store.shown import shown_file

SHOWN, ENDED = 12, 3
NOTHING_NEW = 204
# Opened by itself, a file may load nothing and run nothing.
FILE_POLICY = "default-src 'none'; sandbox"


def _aside(shop: ShopInfo) -> list[tuple[str, int, str]]:
    return [(a.device, a.seq, a.say) for a in read.asides(shop.id, most=SHOWN)]


def _page(shop: ShopInfo) -> TodayPage:
    infos = _boils_of_today(shop)
    states = read.batch_states(infos)
    boils = [boil(info, read.batch_sheet(info), states[info.key]) for info in infos]
    now = timezone.now()
    day = now.astimezone(the_zone(shop)).date()
    told = [*warnings(shop.id), *_held(shop, infos, states)]
    return TodayPage(day_of(day), shop.head, boils, _aside(shop), _backup(now), told)


def _held(shop: ShopInfo, infos: list[BatchInfo], states: dict[str, dict[str, Any]]) -> list[str]:
    """Boils that run with a lot that nobody may use."""
    held = {lot.key: lot for lot in stock.lots(shop.id, states=(stock.HELD,))}
    return [
        gettext("Boil %(letter)s took of %(lot)s, which is held: set it apart.")
        % {"letter": info.letter, "lot": f"{lot.name} {lot.mark}"}
        for info in infos
        if info.phase == "open"
        for used in states[info.key]["lots"]
        if (lot := held.get(used["lot"]))
    ]


def _boils_of_today(shop: ShopInfo) -> list[BatchInfo]:
    """All on the floor, what was planned of late, and the last few that ended."""
    newest = batches(shop.id, most=SHOWN)
    planned = [info for info in newest if info.phase == "planned"]
    ended = [info for info in newest if info.phase not in ("open", "planned")]
    return [*batches(shop.id, "open", most=SHOWN), *planned, *ended[:ENDED]]


def _backup(now: datetime) -> BackupLine | None:
    """How old the last good backup is; nothing where the database's own tools take them."""
    if not is_embedded():
        return None
    newest = next((found for found in backups(backup_folder()) if found.at <= now), None)
    return backup_line(newest.at if newest else None, now)


@at_desk
def today(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Every boil and what it needs."""
    who = whom_to_ask(request, shop)
    context = {"page": _page(shop), "who": who, "shop_name": shop.name}
    return render(request, "office/today.html", context)


@at_desk
def today_live(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The same, only where something is newer than `at`."""
    if str(shop.head) == request.GET.get("at"):
        return HttpResponse(status=NOTHING_NEW)
    return render(request, "office/today_live.html", {"page": _page(shop)})


@at_desk
def file(request: HttpRequest, shop: ShopInfo, name: str) -> FileResponse | HttpResponse:
    """A photo or a spoken note of a record, as it is shown; a sentence where it can't be."""
    try:
        media, path = shown_file(shop.id, name)
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    except CannotBeShown as wrong:
        return HttpResponse(reason(wrong), content_type="text/plain; charset=utf-8", status=415)
    called = f"{media.partition('/')[0]}-{name[:12]}{path.suffix}"
    answer = FileResponse(path.open("rb"), content_type=media, filename=called)
    answer["Content-Security-Policy"] = FILE_POLICY
    return answer
