"""`rotate`: a new secret key; sign-ins and links to proofs go on for some days."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shop.launch.places import store_folder
from shop.launch.rotation import MOST_DAYS, USUAL_DAYS, rotate


class Command(BaseCommand):
    help = (
        "Make the program's secret key anew. What the old one signed (sign-ins at the desk, links "
        "to proofs) holds for --days more; --days 0 ends all of it at once."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--days", type=int, default=USUAL_DAYS, help=f"default {USUAL_DAYS}")

    def handle(self, *, days: int, **_: Any) -> None:
        """Exit code 1 and one sentence where nothing was changed."""
        if not 0 <= days <= MOST_DAYS:
            raise CommandError(f"--days is {days}; it must be from 0 to {MOST_DAYS}.")
        rotate(store_folder(), days)
        ends = f"hold for {days} days" if days else "end at once"
        self.stdout.write(f"There is a new key. Start the server anew: then it signs, and {ends}:")
        self.stdout.write("  sign-ins at the desk (everybody signs in again)")
        self.stdout.write("  links to proofs (the picture's page then has a new one to send)")
        self.stdout.write("Phones, PINs and passwords are not touched. A phone is locked out in")
        self.stdout.write("the office; the authority that phones trust is `authority new`.")
