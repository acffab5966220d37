"""What `test_many_shops` runs beside a database server: shops that are as alike as they can be.

Their boils, people and phones have the same ids in each: whatever reaches for one of them without
its shop reaches into another's.
"""

from hashlib import sha256
from io import StringIO
from typing import Any

from django.core.management import call_command
from django.db.models import Count, Max, Min

from shop.models import Event
from shop.store import batches, phones, shops
from shop.store.people import set_person
from tests.store.scene import sheet


def open_shops(number: int, phones_each: int) -> list[list[dict[str, Any]]]:
    """Each with an open boil; its phones."""
    return [_open_shop(f"shop-{n}", phones_each) for n in range(number)]


def _open_shop(slug: str, phones_each: int) -> list[dict[str, Any]]:
    shop = shops.create_shop(slug=slug, name=slug)
    for key in ("maren", "tobit"):
        set_person(shop_id=shop.id, key=key, name=f"{key} of {slug}", role="hand")
    batches.open_batch(shop_id=shop.id, sheet={**sheet(), "title": slug}, lead="maren")
    told = {"shop": slug, "epoch": shop.epoch, "batches": "b1"}
    found = []
    for n in range(phones_each):
        code = phones.new_code(shop.id)
        joined = phones.join(code=code, address=slug, device=f"phone{n:02d}")
        found.append({**told, "device": joined.device, "token": joined.token})
    return found


def kept() -> dict[str, dict[str, Any]]:
    """Shop → first and last position, how many there are, and a hash of what its phones wrote.

    Raises CommandError where `verify` finds a broken link.
    """
    call_command("verify", stdout=StringIO())
    return {shop.slug: _kept(shop.id) for shop in shops.all_shops()}


def _kept(shop_id: int) -> dict[str, Any]:
    log = Event.objects.filter(shop_id=shop_id)
    ends = log.aggregate(first=Min("position"), last=Max("position"), count=Count("pk"))
    lines = log.filter(device__is_server=False).values_list("line", flat=True)
    return {**ends, "phones": digest(list(lines))}


def digest(lines: list[str]) -> str:
    """The same for the same lines in any order, each as often."""
    return sha256("\n".join(sorted(lines)).encode()).hexdigest()
