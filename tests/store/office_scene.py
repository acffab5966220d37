"""A row in every table of the desk's own: an order sent and called back, a store room, scrap."""

from shop.models import (
    Batch,
    Customer,
    Delivery,
    LabelPrint,
    LotMove,
    Material,
    MaterialLot,
    Order,
    OrderBoil,
    OrderEntry,
    Recall,
    RecallTold,
    Scrap,
    ScrapMove,
    WayVersion,
)
from shop.store.shapes import ShopInfo

KG = 1_000_000


def fill_office(shop: ShopInfo) -> None:
    """Of the shop's first boil; plain rows, whatever the rules would say of them."""
    of = {"shop_id": shop.id, "at": 1}
    boil = Batch.objects.filter(shop_id=shop.id).order_by("pk")[0]
    ada = Customer.objects.create(key="ada", name="Ada", reach="ada@example.org", **of)
    order = Order.objects.create(number="W-9", customer=ada, stage="packed", title="Bee", **of)
    OrderEntry.objects.create(order=order, number=1, what="asked", **of)
    OrderBoil.objects.create(shop_id=shop.id, order=order, batch=boil)
    Delivery.objects.create(key="d", batch=boil, order=order, packs=80, day="2026-12-03", **of)
    LabelPrint.objects.create(
        batch=boil, number=1, place="GB", text="{}", made_of="0" * 64, copies=80, **of
    )
    WayVersion.objects.create(number=1, text="{}", sha256="0" * 64, **of)
    _stock(shop, boil)
    recall = Recall.objects.create(key="r", of={"boils": [boil.key]}, why="Glass", **of)
    RecallTold.objects.create(recall=recall, order="W-9", how="By telephone", **of)


def _stock(shop: ShopInfo, boil: Batch) -> None:
    of = {"shop_id": shop.id, "at": 1}
    sugar = Material.objects.create(shop_id=shop.id, key="office-sugar", name="Sugar", kind="sugar")
    came = {"mark": "S118", "supplier": "A mill", "received": "2026-11-02"}
    lot = MaterialLot.objects.create(key="office-s118", material=sugar, **came, **of)
    LotMove.objects.create(key="m", lot=lot, mg=25 * KG, why="received", **of)
    tin = Scrap.objects.create(key="t", batch=boil, mg=KG, what="ends", **of)
    ScrapMove.objects.create(key="m", scrap=tin, mg=1, batch=boil, **of)
