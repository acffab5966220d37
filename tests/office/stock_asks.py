"""What is asked at the addresses of the store room, and something behind each of them."""

from typing import Any

from shop.store import recall, scrap
from shop.store.shapes import ShopInfo

MATERIAL, LOT, TIN, RECALL = "sugar", "s118", "tin", "recall"
TOLD = {"order": "W-0117", "how": "By telephone", "packs_back": "1"}


def stock_scene(demo: ShopInfo) -> None:
    """A tin of the invented boil, and its goods called back."""
    scrap.fill(shop_id=demo.id, batch="demo-finished", what="ends", mg=750_000, key=TIN)
    recall.call_back(shop_id=demo.id, boils=["demo-finished"], why="Glass", key=RECALL)


def stock_asks() -> dict[str, tuple[dict[str, str], dict[str, Any] | None]]:
    """Name of the address → the parts of it, and what a POST says that changes something."""
    new = {"name": "Honey", "kind": "flavour"}
    came = {"came": "yes", "mark": "S120", "supplier": "A mill", "received": "2026-11-20"}
    fill = {"boil": "demo-finished", "what": "dust", "kg": "0.1", "key": "another"}
    begin = {"lots": LOT, "why": "Wire", "key": "another"}
    return {
        "office-store-room": ({}, None),
        "office-material-new": ({}, new),
        "office-material": ({"key": MATERIAL}, {**came, "amount": "25", "key": "s120"}),
        "office-lot": ({"key": LOT}, None),
        "office-lot-act": ({"key": LOT}, {"act": "counted", "amount": "3"}),
        "office-lot-papers": ({"key": LOT}, {"allergens": ["milk"]}),
        "office-scrap": ({}, fill),
        "office-tin": ({"key": TIN}, {"boil": "", "kg": "0.1", "move": "m"}),
        "office-trace": ({}, None),
        "office-recalls": ({}, begin),
        "office-recall": ({"key": RECALL}, TOLD),
    }
