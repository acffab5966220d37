"""`upgrade`: bring the store to this program, checked before and after; `serve` does it as well."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop.launch.one_server import only_server
from shop.launch.places import store_folder
from shop.management.opening import open_store
from shop.management.upgrading import steps, way_back
from shop.store.backup import is_embedded
from shop.store.verify import broken_links, counted


class Command(BaseCommand):
    help = (
        "Bring the store to this program: a backup first, then the tables, then every entry "
        "checked. Stop the server first. `serve` does the same, but checks only the file."
    )
    requires_system_checks = ()

    def handle(self, **_: Any) -> None:
        """Exit code 1 and one sentence where something is not as it should be."""
        if not is_embedded():
            return self._upgrade()
        with only_server(store_folder()):
            self._upgrade()

    def _upgrade(self) -> None:
        missing, _ = steps()
        if missing and not is_embedded():
            self.stdout.write("On PostgreSQL no backup is taken here; pg_dump takes one.")
        saved = open_store()
        for broken in broken_links():
            back = f" {way_back(saved)}" if saved else ""
            raise CommandError(f"Upgraded, and not whole: {broken.where}: {broken.say}.{back}")
        looked = ", ".join(f"{number} {name}" for name, number in counted().items())
        self.stdout.write(f"{len(missing)} steps done. Whole: {looked}.")
        if saved:
            self.stdout.write(way_back(saved))
