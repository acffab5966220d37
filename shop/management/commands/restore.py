"""`restore BACKUP`: put a backup in the store's place; the phones bring what it lacks."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shop.launch.places import backup_folder, database_file, files_folder
from shop.management.opening import open_store, refuse_other_engines
from shop.store import shops
from shop.store.backup import backups, restore
from shop.store.errors import BackupWrong
from shop.store.verify import broken_links


class Command(BaseCommand):
    help = (
        "Put a backup in the store's place. What stood there is moved aside, never deleted. "
        "Stop the server first; when it serves again, every phone offers all it still holds."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("backup", nargs="?", type=Path, help="its folder; the newest if left")

    def handle(self, *, backup: Path | None, **_: Any) -> None:
        """Exit code 1 and one sentence where nothing was restored."""
        refuse_other_engines()
        newest = next((found.path for found in backups(backup_folder())), None)
        chosen = backup or newest
        if chosen is None:
            raise CommandError(f"There is no backup in {backup_folder()}.")
        try:
            aside = restore(chosen, database_file(), files_folder())
        except BackupWrong as wrong:
            raise CommandError(str(wrong)) from wrong
        open_store()
        for shop in shops.all_shops():
            shops.renew_epoch(shop_id=shop.id)
        for broken in broken_links():
            raise CommandError(f"Restored, and not whole: {broken.where}: {broken.say}.")
        stood = f"What stood there is in {aside}." if aside else "Nothing stood there."
        self.stdout.write(f"Restored {chosen}; whole. {stood}")
        self.stdout.write("Start the server: the phones bring what the backup lacks by themselves.")
