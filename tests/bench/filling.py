"""What `shops` runs beside a store on PostgreSQL: shops as a day leaves them, all quite alike.

Every shop has the same ids for its boil, its people and its phones, as nothing keeps two shops
from choosing them: what reaches for a row without its shop finds twenty.
"""

from functools import cache
from typing import Any

from django.core.management import call_command
from django.db import connection

from shop.demo.scenario import demo_sheet
from shop.store import access, batches, phones, shops
from shop.store.append import append_chains
from shop.store.people import set_person
from shop.store.shapes import Chain, ShopInfo
from tests.bench.shop import event_lines

BATCH = "demo-planned"


def fill(number: int, phones_each: int, events_each: int) -> list[list[dict[str, Any]]]:
    """So many shops, each with an open boil and phones that have pressed; the phones, by shop."""
    call_command("migrate", verbosity=0)
    made = [_shop(n, phones_each, events_each) for n in range(number)]
    # What PostgreSQL does by itself within a minute.
    with connection.cursor() as cursor:
        cursor.execute("VACUUM ANALYZE")
    return made


def _shop(n: int, phones_each: int, events_each: int) -> list[dict[str, Any]]:
    shop = shops.create_shop(slug=f"shop-{n:03d}", name=f"Shop {n}")
    sheet = {**_sheet(), "title": f"The boil of shop {n}"}
    for key in ("maren", "tobit", "isolde"):
        set_person(shop_id=shop.id, key=key, name=f"{key.title()} of shop {n}", role="hand")
    batches.open_batch(shop_id=shop.id, sheet=sheet, lead=sheet["lead"])
    added = [{**_phone(shop, i), "sent": events_each} for i in range(phones_each)]
    if events_each:
        _press(shop, added, events_each)
    return added


@cache
def _sheet() -> dict[str, Any]:
    return demo_sheet(BATCH)


def _phone(shop: ShopInfo, i: int) -> dict[str, Any]:
    code = phones.new_code(shop.id)
    given = phones.join(code=code, address=shop.slug, device=f"phone{i:03d}")
    told = {"shop": shop.slug, "batches": BATCH, "batch": BATCH, "epoch": shop.epoch}
    return {**told, "device": given.device, "token": given.token}


def _press(shop: ShopInfo, added: list[dict[str, Any]], events_each: int) -> None:
    """One phone brings what all of them made, as after a night without a network."""
    chains = [
        Chain(told["device"], 1, tuple(event_lines(told["device"], events_each, BATCH)))
        for told in added
    ]
    carrier = access.access_token(added[0]["token"]).device_id
    append_chains(shop_id=shop.id, carrier_id=carrier, chains=chains)
