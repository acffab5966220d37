"""Tables only."""

from shop.models.batches import Aside, Batch, Event, KeptFile, Projection, Sheet
from shop.models.numbers import NumberChange, ShopNumber
from shop.models.shops import Desk, Device, JoinCode, KitCheck, Person, Shop

APPEND_ONLY = (Sheet, Event, Aside, NumberChange, KeptFile, KitCheck)

__all__ = [
    "APPEND_ONLY",
    "Aside",
    "Batch",
    "Desk",
    "Device",
    "Event",
    "JoinCode",
    "KeptFile",
    "KitCheck",
    "NumberChange",
    "Person",
    "Projection",
    "Sheet",
    "Shop",
    "ShopNumber",
]
