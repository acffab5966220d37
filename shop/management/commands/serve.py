"""`manage.py serve`: the real shop."""

from argparse import ArgumentParser
from contextlib import nullcontext
from typing import Any

from django.core.checks import Tags
from django.core.management.base import BaseCommand

from shop.launch.one_server import only_server
from shop.launch.places import store_folder
from shop.management import serving
from shop.management.opening import new_office_password, open_store
from shop.store.backup import is_embedded

# What the settings and the store of this computer can spoil. The addresses are the program's own:
# a worker loads them all, and `manage.py check` looks at them; here they would cost a second.
LOOKED_AT = (
    *(Tags.caches, Tags.database, Tags.files, Tags.models),
    *(Tags.security, Tags.templates, Tags.translation),
)


class Command(BaseCommand):
    help = "Serve the shop's own store."
    # Before the tables are up to date, the checks that look at them can only fail.
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        serving.add_arguments(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        with only_server(store_folder()) if is_embedded() else nullcontext():
            open_store()
            self.check(tags=LOOKED_AT, databases=["default"])
            serving.run(serving.wish_of(options), self.floor_path(), new_office_password())

    def floor_path(self) -> str:
        return "/floor/"
