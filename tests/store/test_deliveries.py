"""Packs go out of a boil to several orders and over the counter, and come back."""

from typing import Any

import pytest

from shop.store.deliveries import deliver, deliveries, gone, had, packed
from shop.store.errors import OutOfRange
from shop.store.order_reading import access_order, history
from tests.store.order_scene import packed_loft
from tests.store.scene import Loft


def stage(loft: Loft) -> str:
    return access_order(loft.shop.id, "W-1").stage


def test_packs_go_to_several_orders_and_over_the_counter_and_come_back(loft: Loft) -> None:
    packed_loft(loft)
    shop = loft.shop.id

    def out(order: str, packs: int) -> str:
        how: Any = {"batch": "b1", "order": order, "packs": packs, "day": "2026-12-04"}
        return deliver(shop_id=shop, by="pim", **how)

    out("W-1", 50)
    assert stage(loft) == "packed"
    out("W-1", 30)
    out("W-2", 10)
    out("", 3)
    assert [access_order(shop, n).stage for n in ("W-1", "W-2")] == ["delivered", "delivered"]
    assert (packed(shop, "b1"), gone(shop, "b1"), had(shop, "W-1")) == (95, 93, 80)
    with pytest.raises(OutOfRange, match="Packs of L-b1 is 3; it must be from -3 to 2"):
        out("", 3)
    out("W-1", -5)
    assert (stage(loft), had(shop, "W-1")) == ("packed", 75)
    with pytest.raises(OutOfRange, match="from -75"):
        out("W-1", -76)
    with pytest.raises(OutOfRange, match="Packs is 0"):
        out("W-1", 0)
    assert sum(d.packs for d in deliveries(shop, batch="b1")) == gone(shop, "b1") == 88
    assert [d.packs for d in deliveries(shop, counter=True)] == [3]
    assert [d.packs for d in deliveries(shop, order="W-1")] == [-5, 30, 50]
    assert history(access_order(shop, "W-1"))[-1].note == "5 packs of L-b1 came back"


def test_a_delivery_told_twice_under_one_key_goes_out_once(loft: Loft) -> None:
    packed_loft(loft)
    for _ in range(2):
        how: Any = {
            "batch": "b1",
            "order": "W-1",
            "packs": 80,
            "day": "2026-12-04",
            "key": "k" * 24,
        }
        deliver(shop_id=loft.shop.id, **how)
    assert gone(loft.shop.id, "b1") == 80
    assert [e.what for e in history(access_order(loft.shop.id, "W-1"))].count("sent") == 1
