"""Making a shop, and a new epoch after a restore."""

import secrets
from typing import Any

from django.db import transaction

from shop.models import Desk, Device, Person, Shop
from shop.plan.made_of import made_of
from shop.store.access import one_row, shop_info
from shop.store.chain import sha256hex
from shop.store.changes import note
from shop.store.clock import now_ms
from shop.store.errors import NameTaken, NotHere
from shop.store.our_way import WAY
from shop.store.shapes import ShopInfo

LETTERS = "abcdefghijkmnpqrstuvwxyz23456789"


def create_shop(*, slug: str, name: str, settings: dict[str, Any] | None = None) -> ShopInfo:
    """A new shop with its server device. Raises NameTaken."""
    if Shop.objects.filter(slug=slug).exists():
        raise NameTaken(slug)
    with transaction.atomic():
        shop = Shop.objects.create(
            slug=slug,
            name=name,
            settings={**(settings or {}), WAY: made_of()},
            epoch=secrets.token_hex(16),
        )
        _add_server(shop)
    return shop_info(shop)


def all_shops() -> list[ShopInfo]:
    """Every shop of this store."""
    return [shop_info(row) for row in Shop.objects.order_by("pk")]


def reads_of(shop: ShopInfo) -> dict[str, str]:
    """Units and language of the shop: what holds for whoever sets none of their own."""
    return {
        "units": str(shop.settings.get("units", "metric")),
        "language": str(shop.settings.get("language", "en")),
    }


def set_settings(*, shop_id: int, name: str, settings: dict[str, Any], by: str = "") -> None:
    """What the shop says of itself: name, address, emergency number, nearest tap."""
    with transaction.atomic():
        shop = Shop.objects.select_for_update(no_key=True).get(pk=shop_id)
        before = {"name": shop.name, **shop.settings}
        shop.name, shop.settings = name, settings
        shop.save(update_fields=["name", "settings"])
        after = {"name": name, **settings}
        note(shop_id=shop_id, by=by, about="the site", before=before, after=after)


def give_desk(*, shop_id: int, user_id: int, by: str = "") -> None:
    """From now on this user may open the shop's office."""
    with transaction.atomic():
        desk, new = Desk.objects.get_or_create(shop_id=shop_id, user_id=user_id)
        if new:
            _note_desk(desk, by, given=True)


def take_desk(*, shop_id: int, user_id: int, by: str = "") -> None:
    """From now on this user may not open the shop's office."""
    with transaction.atomic():
        for desk in Desk.objects.filter(shop_id=shop_id, user_id=user_id):
            _note_desk(desk, by, given=False)
            desk.delete()


def say_who(*, shop_id: int, user: str, person: str, by: str = "") -> None:
    """Which of the shop's people sits at the desk under this sign-in name; "" for nobody any more.

    Raises NotHere.
    """
    with transaction.atomic():
        rows = Desk.objects.select_for_update(of=("self",)).select_related("person", "user")
        desk = one_row(rows.filter(shop_id=shop_id, user__username=user), "desk of", user)
        people = Person.objects.filter(shop_id=shop_id, key=person)
        who = one_row(people, "person", person) if person else None
        before = {"is": desk.person.name if desk.person else ""}
        desk.person = who
        desk.save(update_fields=["person"])
        after = {"is": who.name if who else ""}
        note(shop_id=shop_id, by=by, about=f"user {user}", before=before, after=after)


def note_password(*, user_id: int) -> None:
    """In every shop whose office this user may open: that they set their password anew."""
    with transaction.atomic():
        for desk in Desk.objects.filter(user_id=user_id).select_related("user").order_by("pk"):
            name, (before, after) = desk.user.get_username(), ("set", "set anew")
            about, was, now = f"user {name}", {"password": before}, {"password": after}
            note(shop_id=desk.shop_id, by=name, about=about, before=was, after=now)


def _note_desk(desk: Desk, by: str, *, given: bool) -> None:
    about, words = f"user {desk.user.get_username()}", ("may not", "may")
    before, after = {"open the office": words[not given]}, {"open the office": words[given]}
    note(shop_id=desk.shop_id, by=by, about=about, before=before, after=after)


def renew_epoch(*, shop_id: int) -> ShopInfo:
    """To be called once after a restore: every phone then offers all it still holds.

    The server writes on as a new device, for its old one may have written what the backup lacks;
    that may now come back from the phones. Locks the counter row.
    """
    with transaction.atomic():
        shop = Shop.objects.select_for_update(no_key=True).filter(pk=shop_id).first()
        if shop is None:
            raise NotHere("shop", str(shop_id))
        shop.epoch = secrets.token_hex(16)
        shop.restored = now_ms()
        shop.save(update_fields=["epoch", "restored"])
        old = Device.objects.filter(shop=shop, is_server=True)
        old.update(is_server=False, locked_out_at=now_ms(), name="Server before the restore")
        _add_server(shop)
    return shop_info(shop)


def new_device_key() -> str:
    """A public device id: 12 characters, none easily mistaken for another."""
    return "".join(secrets.choice(LETTERS) for _ in range(12))


def _add_server(shop: Shop) -> None:
    # Nobody holds this token: the server writes without one.
    unknown = sha256hex(secrets.token_bytes(32))
    key, added = new_device_key(), now_ms()
    Device.objects.create(
        shop=shop, key=key, name="Server", is_server=True, token_sha256=unknown, added=added
    )
