"""Tables only."""

from shop.models.batches import Aside, Batch, Event, KeptFile, Projection, Sheet
from shop.models.numbers import NumberChange, ShopNumber
from shop.models.shops import Device, JoinCode, Person, Shop

APPEND_ONLY = (Sheet, Event, Aside, NumberChange, KeptFile)

__all__ = [
    "APPEND_ONLY",
    "Aside",
    "Batch",
    "Device",
    "Event",
    "JoinCode",
    "KeptFile",
    "NumberChange",
    "Person",
    "Projection",
    "Sheet",
    "Shop",
    "ShopNumber",
]
