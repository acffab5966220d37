"""The invented store room, put into the demo's store."""

from shop.demo.materials import LOTS, MATERIALS
from shop.store.lot_moves import receive
from shop.store.shapes import ShopInfo
from shop.store.stock import materials, set_material


def ensure_store_room(shop: ShopInfo) -> None:
    """Put it there where there is none."""
    if materials(shop.id):
        return
    for key, (name, kind, facts) in MATERIALS.items():
        set_material(shop_id=shop.id, key=key, name=name, kind=kind, facts=facts)
    for key, (material, mark, supplier, received, best, amount, papers) in LOTS.items():
        receive(
            shop_id=shop.id,
            material=material,
            mark=mark,
            supplier=supplier,
            received=received,
            best_before=best,
            amount=amount,
            facts=papers,
            key=key,
            by="pim",
        )
