"""`verify`: is the store still what was written?"""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop.store.verify import broken_links, counted, one_moment


class Command(BaseCommand):
    help = "Go through every event, hash, chain and trigger, and name the first broken link."
    # It looks at the store, not at the pages.
    requires_system_checks = ()

    def handle(self, **_: Any) -> None:
        """Exit code 1 and one sentence at the first broken link. The server may run."""
        with one_moment():
            for broken in broken_links():
                raise CommandError(f"First broken link: {broken.where}: {broken.say}.")
            looked = ", ".join(f"{number} {name}" for name, number in counted().items())
        self.stdout.write(f"Whole: {looked}.")
