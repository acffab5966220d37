"""`record BATCH`: the record of a batch as data, as a table or as a document; or from its file."""

from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser

from shop.management.opening import open_store
from shop.record.errors import RecordError
from shop.record.exported import as_text, from_text
from shop.screens.office.record_page import record_page
from shop.screens.office.record_pdf import record_pdf
from shop.screens.office.record_photos import photos_of
from shop.screens.office.record_table import as_csv
from shop.store.access import access_batch, access_shop, only_shop
from shop.store.errors import NotHere
from shop.store.read import batch_report

FIELDS = ("steps", "readings", "deviations", "mass_balance", "yield")
NO_SHOP = 0


class Command(BaseCommand):
    help = (
        "Print the record of a batch: steps, readings, deviations, mass_balance, yield and more; "
        "or make it again from the file that --json wrote, without a store."
    )
    # It shows one boil, not all pages.
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("batch", nargs="?", help="the id of the batch")
        parser.add_argument("--from", dest="file", type=Path, help="a record's own JSON file")
        parser.add_argument("--json", action="store_true", help="everything, as JSON")
        parser.add_argument("--csv", action="store_true", help="every entry, as a table")
        parser.add_argument("--pdf", type=Path, help="write it there as a document")
        parser.add_argument("--shop", help="the shop's short name, where the store has several")

    def handle(self, *, batch: str | None, file: Path | None, **wanted: Any) -> None:
        """The record in the form asked for; else its main counts in words."""
        if (batch is None) == (file is None):
            raise CommandError("Say which: the id of a batch, or --from and its file.")
        if file is not None:
            record, shop_id, zone = _from_file(file), NO_SHOP, settings.TIME_ZONE
        else:
            record, shop_id, zone = _from_store(str(batch), wanted["shop"])
        if wanted["pdf"]:
            wanted["pdf"].write_bytes(_document(record, shop_id, ZoneInfo(zone)))
        self.stdout.write(_said(record, wanted), ending="")


def _from_store(batch: str, slug: str | None) -> tuple[dict[str, Any], int, str]:
    open_store()
    try:
        shop = access_shop(slug) if slug else only_shop()
        record = batch_report(access_batch(shop.id, batch))
    except NotHere as missing:
        raise CommandError(str(missing)) from missing
    return record, shop.id, shop.settings.get("time_zone", settings.TIME_ZONE)


def _from_file(file: Path) -> dict[str, Any]:
    """The record of a file; what was changed in it is an error that names it."""
    try:
        return from_text(file.read_text("utf-8"))
    except (RecordError, OSError, UnicodeDecodeError) as wrong:
        raise CommandError(f"{file}: {wrong}") from wrong


def _document(record: dict[str, Any], shop_id: int, zone: ZoneInfo) -> bytes:
    """The PDF; photos are in it where the store is at hand."""
    page = record_page(record, zone=zone, position=0, aside=[])
    return record_pdf(page, photos_of(shop_id, page.files) if shop_id else {})


def _said(record: dict[str, Any], wanted: dict[str, Any]) -> str:
    if wanted["json"]:
        return as_text(record)
    return as_csv(record) if wanted["csv"] else _in_words(record)


def _in_words(record: dict[str, Any]) -> str:
    counts = ", ".join(f"{len(record[name])} {name}" for name in FIELDS[:3])
    return f"{record['title']}, lot {record['lot']}, {record['phase']}: {counts}.\n"
