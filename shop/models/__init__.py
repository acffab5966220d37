"""Tables only."""

from shop.models.batches import Aside, Batch, Event, Projection, Sheet
from shop.models.numbers import NumberChange, ShopNumber
from shop.models.shops import Device, JoinCode, Person, Shop

APPEND_ONLY = (Sheet, Event, Aside, NumberChange)

__all__ = [
    "APPEND_ONLY",
    "Aside",
    "Batch",
    "Device",
    "Event",
    "JoinCode",
    "NumberChange",
    "Person",
    "Projection",
    "Sheet",
    "Shop",
    "ShopNumber",
]
