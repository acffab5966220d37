"""`bring_in FOLDER`: the shops of an embedded store, moved into the PostgreSQL at hand."""

from pathlib import Path
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser

from shop.launch.places import files_folder
from shop.management.opening import refuse_embedded
from shop.management.other_store import other_store
from shop.store.backup import FILES
from shop.store.bring_in import bring_in
from shop.store.errors import BackupWrong, NotBrought
from shop.store.shapes import Brought


class Command(BaseCommand):
    help = (
        "Bring every shop of a store folder (kettleside.sqlite3 and files) into PostgreSQL, all or "
        "nothing. Stop its server first; it stays as it is. The phones go on by themselves."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("folder", type=Path, help="such as ~/.local/share/kettleside/shop")
        parser.add_argument(
            "--slug",
            action="append",
            default=[],
            metavar="NAME",
            help="another short name where its own is taken; OLD=NEW where there are several",
        )

    def handle(self, *, folder: Path, slug: list[str], **_: Any) -> None:
        """Exit code 1 and one sentence where nothing was brought in."""
        refuse_embedded()
        call_command("migrate", verbosity=0, interactive=False, skip_checks=True)
        try:
            with other_store(folder) as source:
                shops = bring_in(source=source, files=folder / FILES, slugs=slug)
        except (NotBrought, BackupWrong) as wrong:
            raise CommandError(str(wrong)) from wrong
        for shop in shops:
            self.stdout.write(_said(shop))
        for old, new in shops[0].users.items():
            self.stdout.write(f"{old!r} is taken here: that office user now signs in as {new!r}.")
        self.stdout.write(
            f"Whole. Photos and sounds are in {files_folder()}. Serve under the old name and port: "
            "the phones go on by themselves."
        )


def _said(shop: Brought) -> str:
    head = f"head {shop.head_hash[:12]}… as it was"
    return f"{shop.slug}: {shop.head} events, {shop.phones} phones, {head}."
