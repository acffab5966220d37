"""What is asked at every address of orders, and what would change something there."""

from typing import Any

from shop.demo.scenario import ORDER
from shop.store import orders
from shop.store.order_reading import access_order
from shop.store.shapes import ShopInfo

Asked = tuple[dict[str, str], dict[str, Any] | None]
ASKED = "W-0900"


def ask_for(shop: ShopInfo, title: str, number: str = ASKED) -> None:
    """An enquiry of which little was said."""
    who = ("Somebody invented", "somebody@customer.example")
    orders.new_order(shop_id=shop.id, number=number, customer="", who=who, title=title, said={})


def intake(**more: str | list[str]) -> dict[str, Any]:
    """Half an enquiry, as the form sends it."""
    return {"title": "Two bees", "log": "11", "flavour": "rose", "text": "", **more}


def order_asks(shop: ShopInfo) -> dict[str, Asked]:
    """Name of the address → the parts of the address, and what a POST says."""
    one, asked = {"number": ORDER.number}, {"number": ASKED}
    who = {"name": "Somebody", "reach": "by post", "number": "W-0901"}
    sent = {"batch": "demo-finished", "packs": "1", "day": "2026-12-03", "way": "out"}
    seen = str(access_order(shop.id, ASKED).entries)
    return {
        "office-orders": ({}, None),
        "office-order-new": ({}, intake(**who)),
        "office-week": ({}, None),
        "office-week-hands": ({}, {"day": "2026-11-25", "here": ["maren"], "week": "2026-11-23"}),
        "office-sold": ({}, sent),
        "office-order-settings": ({}, {"id": "kettles", "value": "2"}),
        "office-order": (one, None),
        "office-order-change": (asked, intake(seen=seen)),
        "office-order-answers": (one, None),
        "office-order-stage": (one, {"to": "packed"}),
        "office-order-day": (asked, {"day": "2026-12-01"}),
        "office-order-customer": (one, {"act": "erase", "sure": "yes"}),
        "office-order-sent": (one, sent),
    }
