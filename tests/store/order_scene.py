"""Orders the tests of the store share."""

from typing import Any

from shop.plan.orders.said import ACCEPTS
from shop.store import customers, orders
from shop.store.order_shapes import OrderInfo
from tests.store.scene import Loft

WHOLE: dict[str, Any] = {
    **{"art": "a bee", "text": "ÉLAN", "language": "French", "reads": "ltr"},
    **{"colours": ["red"], "flavour": "quince", "sour": "yes", "rod_um": 14_000},
    **{"piece_um": 12_000, "place": "counter", "country": "GB", "needs_asked": "none"},
    **{"packs": [{"count": 80, "fill_mg": 100_000, "packaging": "bag"}], "contains": "nothing"},
    **{"approves": "customer", "accepts": list(ACCEPTS), "price": 45_000, "deposit": 0},
    **{"reorder": "yes", "fails": "refund"},
}


def asked(loft: Loft, number: str = "W-1", **more: Any) -> OrderInfo:
    """An order; of `more` what is no part of it is what was said."""
    who = customers.new_customer(shop_id=loft.shop.id, name="Ada L", reach="ada@example.org")
    plain: Any = {"title": "Bee", "due": "2026-12-04", "drawing": ""}
    plain |= {key: more.pop(key) for key in list(more) if key in plain}
    how: Any = {"number": number, "customer": who.key, "by": "pim", "said": more}
    return orders.new_order(shop_id=loft.shop.id, **how, **plain)


def move(loft: Loft, *stages: str, number: str = "W-1") -> OrderInfo:
    for stage in stages:
        found = orders.move(shop_id=loft.shop.id, number=number, to=stage, by="pim")
    return found


def packed_loft(loft: Loft, bags: int = 95) -> None:
    """`b1` gave so many bags; two orders of 80 and 10 are packed."""
    loft.kettle.press(body={"what": "bags", "add": bags})
    loft.kettle.push()
    ten = [{"count": 10, "fill_mg": 100_000, "packaging": "bag"}]
    for number, packs in (("W-1", WHOLE["packs"]), ("W-2", ten)):
        asked(loft, number, **{**WHOLE, "packs": packs})
        move(loft, "quoted", "agreed", "planned", "made", "packed", number=number)
