"""`manage.py serve`: the real shop."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from shop.management import serving
from shop.management.opening import new_office_password, open_store


class Command(BaseCommand):
    help = "Serve the shop's own store."
    # Before the tables are up to date, the checks that look at them can only fail.
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        serving.add_arguments(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        open_store()
        self.check(databases=["default"])
        serving.run(serving.wish_of(options), self.floor_path(), new_office_password())

    def floor_path(self) -> str:
        return "/floor/"
