"""How every schedule of `test_schedules` begins."""

from dataclasses import dataclass

from django.test import Client

from shop.store import batches, shops
from shop.store.shapes import ShopInfo
from tests.store.scene import sheet
from tests.sync import moments
from tests.sync.crew import Network, Phone


@dataclass
class Morning:
    """How every schedule begins: a shop with two boils open and three phones that were added."""

    moment: moments.Moment
    shop: ShopInfo
    phones: list[Phone]
    client: Client


def a_morning() -> Morning:
    """Made once and put back for each schedule: making it is a fifth of the time."""
    shop, client = shops.create_shop(slug="loft", name="Loft"), Client()
    for batch, letter in (("b1", "A"), ("b2", "B")):
        batches.open_batch(shop_id=shop.id, sheet=sheet(batch, letter), lead="maren")
    crew = [Phone(Network(client), shop.id) for _ in range(3)]
    for phone in crew:
        phone.join()
    return Morning(moments.taken(), shop, crew, client)
