"""What the store hands out about orders. Moments are ms since 1970-01-01 UTC, days `2026-12-04`."""

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class CustomerInfo:
    """Who orders; once erased, name and reach are empty."""

    key: str
    name: str
    reach: str
    erased: int | None


@dataclass(frozen=True, slots=True)
class OrderLine:
    """An order as lists show it; `ship_days` -1 where the shop's own number holds."""

    number: str
    title: str
    stage: str
    due: str
    make_day: str
    customer: str
    ship_days: int


@dataclass(frozen=True, slots=True)
class BoilLink:
    """A boil made for an order."""

    batch: str
    lot: str
    letter: str
    title: str
    phase: str


@dataclass(frozen=True, slots=True)
class OrderInfo:
    """One order as it stands; `drawing` the id of its picture, `approved` whether the customer said
    yes to a proof of that picture as it stands and in this rod; `entries` how many it has."""

    id: int
    number: str
    customer: CustomerInfo
    drawing: str
    stage: str
    title: str
    due: str
    make_day: str
    said: dict[str, Any]
    entries: int
    at: int
    approved: bool
    boils: tuple[BoilLink, ...] = ()


@dataclass(frozen=True, slots=True)
class EntryInfo:
    """One line of an order's history; `sets` is what it made so, `note` why or what besides."""

    number: int
    at: int
    by: str
    what: str
    sets: dict[str, Any] = field(default_factory=dict)
    note: str = ""


@dataclass(frozen=True, slots=True)
class OrdersPage:
    """Some orders of a list, and how many there are altogether."""

    orders: list[OrderLine]
    total: int


@dataclass(frozen=True, slots=True)
class DeliveryInfo:
    """Packs that went out, or came back (fewer than none); `order` "" for the counter."""

    key: str
    batch: str
    lot: str
    order: str
    packs: int
    day: str
    at: int
    by: str
    note: str
