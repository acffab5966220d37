"""What is asked at the addresses of labels, and a label that was printed."""

from typing import Any

from shop.store.access import access_batch
from shop.store.label_settings import SIZES
from shop.store.labels import print_label
from shop.store.shapes import ShopInfo

BATCH = "demo-handover"
LINES = {
    **{"business": "The Loft", "address": "Treacle Yard", "months": "9"},
    **{"size-TOTAL_FORMS": "1", "size-INITIAL_FORMS": "0", "size-MAX_NUM_FORMS": "6"},
    **{"size-0-name": "Bag", "size-0-wide": "80", "size-0-high": "60"},
    **{"size-0-paper": "roll", "size-0-face": "150"},
}


def print_one(demo: ShopInfo, key: str = BATCH) -> None:
    """The label of an invented boil, once; the finished one is called back in the scene."""
    batch = access_batch(demo.id, key)
    print_label(shop=demo, batch=batch, where="GB", size=SIZES[0], copies=1, by="pim")


def label_asks() -> dict[str, tuple[dict[str, str], dict[str, Any] | None]]:
    """Name of the address → the parts of it, and what a POST says that changes something."""
    return {
        "office-labels": ({}, LINES),
        "office-label": ({"key": BATCH}, {"place": "GB", "size": "0", "copies": "2"}),
        "office-label-lot": ({"key": BATCH}, {"material": "butter", "lot": "b3"}),
        "office-label-pdf": ({"key": BATCH, "number": "1"}, None),
    }
