"""Opening the store that a command works on."""

from __future__ import annotations

from pathlib import Path

from django.contrib.auth import get_user_model
from django.core.management import CommandError
from django.db import connection

from shop.launch.places import store_name
from shop.launch.secrets import new_password
from shop.management.upgrading import bring_up_to_date
from shop.store import shops
from shop.store.backup import Backup, is_embedded
from shop.store.our_way import note_way

OFFICE_USER = "office"
SHOP = "shop"


def open_store() -> Backup | None:
    """Bring the tables up to date and, in the demo store, see that the demo is there.

    The backup that was taken before an upgrade, if there was one.
    """
    saved = bring_up_to_date()
    # SQLite makes the file readable for everybody, and the record is the shop's own affair.
    if connection.vendor == "sqlite":
        Path(connection.settings_dict["NAME"]).chmod(0o600)
    if store_name() == "demo":
        from shop.demo.load import ensure

        ensure()
    else:
        ensure_shop()
    note_way()
    return saved


def refuse_other_engines() -> None:
    """Backups are of the embedded store. Raises CommandError elsewhere."""
    if not is_embedded():
        raise CommandError("This store is on PostgreSQL: back it up with pg_dump.")


def refuse_embedded() -> None:
    """What is for a store on PostgreSQL. Raises CommandError elsewhere."""
    if is_embedded():
        raise CommandError(
            "DATABASE_URL names no PostgreSQL; write it as in docs/settings.md, before the command."
        )


def ensure_shop() -> None:
    """A new store holds one empty shop, which the office then names."""
    if not shops.all_shops():
        shops.create_shop(slug=SHOP, name="Our shop")


def new_office_password() -> str | None:
    """Make the office user at the first start; its password is told once, then kept hashed.

    A service tells it to nobody: its log is kept, and read by others. `changepassword` sets one.
    """
    users = get_user_model().objects
    if users.filter(username=OFFICE_USER).exists():
        return None
    password = new_password()
    user = users.create_user(username=OFFICE_USER, password=password, is_staff=True)
    for shop in shops.all_shops():
        shops.give_desk(shop_id=shop.id, user_id=user.pk)
    return password
