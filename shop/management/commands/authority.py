"""`authority keep|bring|new`: the shop's authority for another computer, or after a loss."""

from getpass import getpass
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shop.launch import keeping
from shop.launch.errors import LaunchError
from shop.launch.places import authority_folder

STOOD = "What stood there is in {}."


class Command(BaseCommand):
    help = "Keep the authority that phones trust under a passphrase, bring it, or begin a new one."
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        acts = parser.add_subparsers(dest="act", required=True)
        kept = acts.add_parser("keep", help="write it to a file; the passphrase is shown once")
        kept.add_argument("file", type=Path)
        brought = acts.add_parser("bring", help="put a kept one in place, on a new computer")
        brought.add_argument("file", type=Path)
        brought.add_argument("--passphrase", help="asked for where it is left out")
        acts.add_parser("new", help="its key is lost: each phone must then trust a new one")

    def handle(self, *, act: str, **options: Any) -> None:
        """Exit code 1 and one sentence where nothing was done."""
        try:
            getattr(self, act)(authority_folder(), **options)
        except LaunchError as wrong:
            raise CommandError(str(wrong)) from wrong

    def keep(self, folder: Path, *, file: Path, **_: Any) -> None:
        passphrase = keeping.keep(folder, file)
        self.stdout.write(f"{file} is written. Its passphrase, shown this once: {passphrase}")
        self.stdout.write("Keep both, apart from each other and from this computer.")

    def bring(self, folder: Path, *, file: Path, passphrase: str | None, **_: Any) -> None:
        aside = keeping.bring(folder, file, passphrase or getpass("Passphrase: "))
        self.stdout.write(f"The authority is in place. {STOOD.format(aside) if aside else ''}")
        self.stdout.write(
            "Serve under the same name and port: the phones then go on by themselves."
        )

    def new(self, folder: Path, **_: Any) -> None:
        aside = keeping.set_aside(folder)
        self.stdout.write(STOOD.format(aside) if aside else "There was none.")
        self.stdout.write(
            "The next `serve --lan` makes a new one. Each phone must be told once to trust it, by "
            "its first page; what it holds stays on it and is sent then. Keep the name."
        )
