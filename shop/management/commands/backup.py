"""`backup`: a whole, checked copy of the running store."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shop.launch.places import backup_folder, database_file, files_folder
from shop.management.opening import refuse_other_engines
from shop.store.backup import rotate, take_backup
from shop.store.errors import BackupWrong


class Command(BaseCommand):
    help = "Copy the running store, check the copy, and remove backups that are no longer needed."
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--to", type=Path, help="folder of backups (see KETTLESIDE_BACKUPS)")

    def handle(self, *, to: Path | None, **_: Any) -> None:
        """Exit code 1 and one sentence where no good backup was made."""
        refuse_other_engines()
        folder = to or backup_folder()
        try:
            made = take_backup(database_file(), files_folder(), folder)
        except BackupWrong as wrong:
            raise CommandError(str(wrong)) from wrong
        gone = rotate(folder)
        self.stdout.write(f"{made.path}: {made.events} events, {made.size} bytes, whole.")
        if gone:
            self.stdout.write(f"Removed {len(gone)} older ones.")
