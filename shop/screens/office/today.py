"""The desk's first page and the records behind it."""

from datetime import datetime

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils import timezone

from shop.launch.places import backup_folder
from shop.screens.office.access import at_desk, the_batch, the_zone
from shop.screens.office.desk import whom_to_ask
from shop.screens.office.record_page import RecordPage, record_page
from shop.screens.office.record_table import as_csv
from shop.screens.office.today_page import BackupLine, TodayPage, backup_line, boil, day_of
from shop.screens.office.warnings import warnings
from shop.store import read
from shop.store.backup import backups, is_embedded
from shop.store.batches import batches
from shop.store.errors import NotHere
from shop.store.files import read_file
from shop.store.shapes import BatchInfo, ShopInfo

SHOWN = 12
NOTHING_NEW = 204


def _aside(shop: ShopInfo) -> list[tuple[str, int, str]]:
    return [(a.device, a.seq, a.say) for a in read.asides(shop.id, most=SHOWN)]


def _page(shop: ShopInfo) -> TodayPage:
    boils = [
        boil(info, read.batch_sheet(info), read.batch_state(info))
        for info in batches(shop.id, most=SHOWN)
    ]
    now = timezone.now()
    day = now.astimezone(the_zone(shop)).date()
    return TodayPage(day_of(day), shop.head, boils, _aside(shop), _backup(now), warnings(shop.id))


def _backup(now: datetime) -> BackupLine | None:
    """How old the last good backup is; nothing where the database's own tools take them."""
    if not is_embedded():
        return None
    newest = next(iter(backups(backup_folder())), None)
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


def _record(shop: ShopInfo, batch: BatchInfo) -> RecordPage:
    aside = [(a.device, a.seq, a.say) for a in read.asides(shop.id) if _about(batch, a.text)]
    return record_page(
        read.batch_report(batch), zone=the_zone(shop), position=batch.position, aside=aside
    )


def _about(batch: BatchInfo, text: str) -> bool:
    """Whether a line that could not be filed names this batch, as far as it can be read."""
    return f'"batch":"{batch.key}"' in text


@at_desk
def record(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The batch record."""
    page = _record(shop, the_batch(shop, key))
    return render(request, "office/record.html", {"page": page, "shop_name": shop.name})


@at_desk
def record_live(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The record's body, only where something is newer than `at`."""
    batch = the_batch(shop, key)
    if str(batch.position) == request.GET.get("at"):
        return HttpResponse(status=NOTHING_NEW)
    return render(request, "office/record_live.html", {"page": _record(shop, batch)})


@at_desk
def record_json(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The record as data."""
    batch = the_batch(shop, key)
    return JsonResponse(read.batch_report(batch), json_dumps_params={"ensure_ascii": False})


@at_desk
def file(request: HttpRequest, shop: ShopInfo, name: str) -> FileResponse:
    """A photo or a spoken note of a record."""
    try:
        media, path = read_file(shop.id, name)
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    return FileResponse(path.open("rb"), content_type=media)


@at_desk
def record_csv(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Steps and readings as a table."""
    batch = the_batch(shop, key)
    answer = HttpResponse(as_csv(read.batch_report(batch)), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="record-{batch.key}.csv"'
    return answer
