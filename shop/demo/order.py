"""The invented order W-0117, from the first question to the parcel; price and dates are invented
here, beside the day it was made and the day it must be there."""

from datetime import datetime
from typing import Any

from shop.demo.scenario import DAY, ORDER, ZONE
from shop.plan.orders.said import ACCEPTS
from shop.store import orders
from shop.store.deliveries import deliver
from shop.store.errors import NotHere
from shop.store.order_reading import access_order
from shop.store.shapes import ShopInfo

BY = "pim"
BOIL = "demo-finished"
REACH = "post@customer.example\nSays yes to the proof as well"
SAID: dict[str, Any] = {
    "art": "A skep beehive of three layers with a doorway, two bees facing each other.",
    "no_text": 1,
    "colours": ["yellow", "brown", "white"],
    **{"flavour": ORDER.flavour, "sour": "yes", "contains": "nothing", "needs_asked": "none"},
    **{"rod_um": ORDER.rod_um, "piece_um": ORDER.piece_um, "log_mg": ORDER.log_mg},
    "packs": [{"count": ORDER.packs, "fill_mg": ORDER.fill_mg, "packaging": "bag"}],
    **{"place": "address", "country": "GB", "approves": "customer", "accepts": list(ACCEPTS)},
    **{"price": 44_000, "deposit": 10_000, "reorder": "yes", "fails": "refund"},
}
# Stage, day and clock; the day it was made is the boil's.
STAGES = (
    ("quoted", "2026-11-03T15:20"),
    ("agreed", "2026-11-09T10:05"),
    ("planned", "2026-11-20T16:30"),
    ("made", f"{DAY}T13:00"),
    ("packed", f"{DAY}T13:50"),
)
SENT = "2026-12-02"


def at(clock: str) -> int:
    """A moment of the shop [ms]."""
    return round(datetime.fromisoformat(clock).replace(tzinfo=ZONE).timestamp() * 1000)


def ensure_order(shop: ShopInfo) -> None:
    """The order as it stands; made where it is missing, once its boil is there."""
    try:
        access_order(shop.id, ORDER.number)
    except NotHere:
        _ask(shop)
        _make(shop)


def _ask(shop: ShopInfo) -> None:
    orders.new_order(
        shop_id=shop.id,
        number=ORDER.number,
        customer="",
        who=(ORDER.customer, REACH),
        title=ORDER.title,
        due=ORDER.due,
        said=SAID,
        by=BY,
        at=at("2026-11-02T11:40"),
    )


def _make(shop: ShopInfo) -> None:
    """Every stage at its time, the boil among them, and the eighty bags."""
    place: Any = {"shop_id": shop.id, "number": ORDER.number, "by": BY}
    for stage, clock in STAGES:
        if stage == "planned":
            orders.link_boil(**place, batch=BOIL, day=DAY, at=at(clock))
        else:
            orders.move(**place, to=stage, at=at(clock))
    deliver(
        shop_id=shop.id,
        batch=BOIL,
        order=ORDER.number,
        packs=ORDER.packs,
        day=SENT,
        by=BY,
        at=at(f"{SENT}T09:15"),
    )
