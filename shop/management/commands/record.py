"""`record BATCH`: the record of a batch as data."""

import json
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shop.management.opening import open_store
from shop.store.access import access_batch, access_shop, only_shop
from shop.store.errors import NotHere
from shop.store.read import batch_report

FIELDS = ("steps", "readings", "deviations", "mass_balance", "yield")


class Command(BaseCommand):
    help = "Print the record of a batch: steps, readings, deviations, mass_balance, yield and more."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("batch", help="the id of the batch")
        parser.add_argument("--json", action="store_true", help="everything, as JSON")
        parser.add_argument("--shop", help="the shop's short name, where the store has several")

    def handle(self, *, batch: str, json: bool, shop: str | None, **_: Any) -> None:
        """The record as JSON, or its main counts in words."""
        open_store()
        try:
            where = access_shop(shop) if shop else only_shop()
            record = batch_report(access_batch(where.id, batch))
        except NotHere as missing:
            raise CommandError(str(missing)) from missing
        self.stdout.write(_as_json(record) if json else _in_words(record))


def _as_json(record: dict[str, Any]) -> str:
    return json.dumps(record, ensure_ascii=False, indent=1)


def _in_words(record: dict[str, Any]) -> str:
    counts = ", ".join(f"{len(record[name])} {name}" for name in FIELDS[:3])
    return f"{record['title']}, lot {record['lot']}, {record['phase']}: {counts}."
