"""`restored`: after pg_restore put an older store back; the phones bring what it lacks."""

from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError

from shop.store import shops
from shop.store.backup import is_embedded
from shop.store.verify import broken_links


class Command(BaseCommand):
    help = (
        "Run once after pg_restore, before the server starts: every phone then offers all it still "
        "holds. Without it what was recorded since the dump stays on the phones."
    )
    requires_system_checks = ()

    def handle(self, **_: Any) -> None:
        """Exit code 1 and one sentence where the store is not whole; phones then offer all too."""
        if is_embedded():
            raise CommandError("An embedded store is put back by `restore`, which does this too.")
        call_command("migrate", verbosity=0, interactive=False, skip_checks=True)
        every = shops.all_shops()
        if not every:
            raise CommandError("There is no shop in this store. Run pg_restore first.")
        for shop in every:
            shops.renew_epoch(shop_id=shop.id)
        for broken in broken_links():
            raise CommandError(f"Restored, and not whole: {broken.where}: {broken.say}.")
        names = ", ".join(shop.slug for shop in every)
        self.stdout.write(f"Whole; from now on this is a restored store: {names}.")
        self.stdout.write("Start the server: the phones bring what it lacks by themselves.")
