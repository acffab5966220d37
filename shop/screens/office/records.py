"""The record of a boil: as a page, a PDF, a table, a file; and beside another boil's."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import translation

from shop.record.exported import as_text
from shop.screens.office.access import at_desk, the_batch, the_zone
from shop.screens.office.compare_page import Choice, compare_page
from shop.screens.office.record_page import RecordPage, record_page
from shop.screens.office.record_pdf import record_pdf
from shop.screens.office.record_photos import photos_of
from shop.screens.office.record_table import as_csv
from shop.store import read
from shop.store.batches import batches
from shop.store.shapes import BatchInfo, ShopInfo

NOTHING_NEW = 204
# Boils to choose from, the newest first.
OFFERED = 60
DONE = ("closed", "given_up", "open")


def _page(shop: ShopInfo, batch: BatchInfo) -> RecordPage:
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
    page = _page(shop, the_batch(shop, key))
    return render(request, "office/record.html", {"page": page, "shop_name": shop.name})


@at_desk
def record_live(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The record's body, only where something is newer than `at`."""
    batch = the_batch(shop, key)
    if str(batch.position) == request.GET.get("at"):
        return HttpResponse(status=NOTHING_NEW)
    return render(request, "office/record_live.html", {"page": _page(shop, batch)})


@at_desk
def as_file(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The record as a file from which it can be made again."""
    text = as_text(read.batch_report(the_batch(shop, key)))
    return HttpResponse(text, content_type="application/json; charset=utf-8")


@at_desk
def as_table(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Every entry as a table."""
    batch = the_batch(shop, key)
    answer = HttpResponse(as_csv(read.batch_report(batch)), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="record-{batch.key}.csv"'
    return answer


@at_desk
def as_pdf(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The record as a document, its photos in it."""
    batch = the_batch(shop, key)
    # What leaves the shop is in one language, that of the record itself.
    with translation.override(settings.LANGUAGE_CODE):
        page = _page(shop, batch)
        content = record_pdf(page, photos_of(shop.id, page.files))
    answer = HttpResponse(content, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="record-{batch.key}.pdf"'
    return answer


@at_desk
def beside(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Two boils side by side: `a` and `b` of the address, or the two newest that fit."""
    # Those that came to an end first, for only they have a yield.
    offered = sorted(batches(shop.id, *DONE, most=OFFERED), key=lambda b: b.phase == "open")
    pair = _chosen(shop, offered, request.GET.get("a", ""), request.GET.get("b", ""))
    told = [(_choice(batch), read.batch_report(batch)) for batch in pair]
    page = compare_page([_choice(b) for b in _named(offered, pair)], told)
    return render(request, "office/compare.html", {"page": page, "shop_name": shop.name})


def _chosen(shop: ShopInfo, offered: list[BatchInfo], a: str, b: str) -> list[BatchInfo]:
    """Both boils; one that was not named is the newest before the other, of the same picture if
    there is one. Fewer than two where the shop has no two."""
    named = {key: the_batch(shop, key) for key in (a, b) if key}
    second = named.get(b) or _first([x for x in offered if x.key != a])
    if second is None:
        return []
    first = named.get(a) or _before(second, offered)
    return [first, second] if first else []


def _before(batch: BatchInfo, offered: list[BatchInfo]) -> BatchInfo | None:
    others = [x for x in offered if x.id != batch.id]
    earlier = [x for x in others if x.id < batch.id]
    alike = [x for x in earlier or others if x.title == batch.title]
    return _first(alike) or _first(earlier or others)


def _first(found: list[BatchInfo]) -> BatchInfo | None:
    return found[0] if found else None


def _named(offered: list[BatchInfo], pair: list[BatchInfo]) -> list[BatchInfo]:
    """Those offered, with those looked at among them."""
    there = {batch.id for batch in offered}
    return [*offered, *(batch for batch in pair if batch.id not in there)]


def _choice(batch: BatchInfo) -> Choice:
    return Choice(batch.key, batch.lot, batch.title)
