"""The rest of a shop with years behind it: people, orders, the store room, pictures, notes."""

import random
from dataclasses import dataclass

from django.db import transaction

from shop.models import Batch, Delivery, Order, OrderBoil
from shop.plan.orders.said import NOTHING
from shop.store import drawings, incidents, lot_moves, orders, phones, stock
from shop.store.changes import note
from shop.store.numbers import change_number
from shop.store.people import set_person
from shop.store.shapes import NewVersion, ShopInfo
from shop.store.sign import Signer, sign
from tests.office.asks import a_picture

KG = 1_000_000
KINDS = ("sugar", "syrup", "acid", "flavour", "colour", "slab", "pack")
NAMES = ("Heron", "Robin", "Anchor", "Clover", "Acorn", "Fox")
DUE = "2026-12-04"


@dataclass(frozen=True)
class Sizes:
    """How many there are of each besides what the invented shop has."""

    people: int
    phones: int
    orders: int
    materials: int
    lots: int
    pictures: int
    notes: int


def sizes_of(boils: int) -> Sizes:
    """As many as go with so many boils."""
    return Sizes(
        people=min(boils // 300, 30),
        phones=min(boils // 800, 12),
        orders=boils // 4,
        materials=min(boils // 400, 24),
        lots=boils // 16,
        pictures=min(boils // 50, 200),
        notes=boils // 5,
    )


def fill_rest(shop: ShopInfo, sizes: Sizes, tag: str = "") -> None:
    """All of it, each id with the tag; through the store, as the office does it, all at once."""
    with transaction.atomic():
        _people(shop, sizes, tag)
        for n in range(sizes.phones):
            phones.join(code=phones.new_code(shop.id), address=f"bench{tag}{n}")
        _room(shop, sizes, tag)
        _pictures(shop, sizes.pictures)
        _orders(shop, sizes.orders, tag)
        _notes(shop, sizes.notes, tag)


def _people(shop: ShopInfo, sizes: Sizes, tag: str) -> None:
    for n in range(sizes.people):
        set_person(shop_id=shop.id, key=f"hand{tag}{n}", name=f"Hand {n}", role="second hand")
    for n in range(sizes.notes):
        sign(
            shop_id=shop.id,
            person=f"hand{tag}{n % sizes.people}" if sizes.people else "odo",
            skill=("pull", "roll", "cut", "pack")[n % 4],
            rung=("watch", "assist", "solo")[n % 3],
            happened=1_780_000_000_000 + n * 60_000,
            signer=Signer("office", "maren"),
            key=f"note{tag}{n}",
        )


def _room(shop: ShopInfo, sizes: Sizes, tag: str) -> None:
    for n in range(sizes.materials):
        kind = KINDS[n % len(KINDS)]
        stock.set_material(
            shop_id=shop.id, key=f"stuff{tag}{n}", name=f"{kind.title()} {n}", kind=kind, facts={}
        )
    for n in range(sizes.lots if sizes.materials else 0):
        lot_moves.receive(
            shop_id=shop.id,
            material=f"stuff{tag}{n % sizes.materials}",
            mark=f"M{n:05d}",
            supplier=f"Mill {n % 30}",
            received=f"2026-{1 + n % 11:02d}-{1 + n % 28:02d}",
            amount=25 * KG,
            key=f"lot{tag}{n}",
        )


def _pictures(shop: ShopInfo, number: int) -> None:
    """Copies of one picture; what it looks like is not what lists ask."""
    if not number:
        return
    key = a_picture(shop, "Pattern")
    first, order = drawings.version(shop.id, key, 1), {"log_mg": 11 * KG, "rod_um": 14_000}
    more = {"packs": 80, "fill_mg": 100_000, "hands": ["Maren", "Tobit"]}
    for n in range(number - 1):
        drawings.new_drawing(
            shop_id=shop.id,
            title=f"{NAMES[n % len(NAMES)]} {n}",
            order={**order, **more},
            first=NewVersion("Drawn", first.labels, first.choices, ""),
        )


def _orders(shop: ShopInfo, number: int, tag: str) -> None:
    """Enquiries of old customers, each with a boil that it had and packs that went."""
    boils = list(Batch.objects.filter(shop_id=shop.id, phase="closed").order_by("pk")[:number])
    chance, packs = random.Random(number), {"count": 80, "fill_mg": 100_000, "packaging": "bag"}
    whom = ""
    for n in range(number):
        made = orders.new_order(
            shop_id=shop.id,
            number=f"X{tag}-{n:05d}",
            title=f"{NAMES[n % len(NAMES)]} {n}",
            said={**NOTHING, "packs": [packs]},
            due=DUE,
            customer=whom,
            who=(f"Customer {n}", "by the door") if n % 8 == 0 else None,
        )
        whom = made.customer.key
        if boils:
            _went(shop, made.number, chance.choice(boils), f"sent{tag}{n}")


def _went(shop: ShopInfo, number: str, batch: Batch, key: str) -> None:
    order = Order.objects.get(shop_id=shop.id, number=number)
    OrderBoil.objects.create(shop_id=shop.id, order=order, batch=batch)
    Delivery.objects.create(
        shop_id=shop.id, key=key, batch=batch, order=order, packs=80, day=DUE, at=0
    )


def _notes(shop: ShopInfo, number: int, tag: str) -> None:
    """What the office changed, and what was told of injuries."""
    for n in range(number):
        note(
            shop_id=shop.id, by="office", about=f"Hand {n}", before={"name": "a"}, after={"name": n}
        )
    for n in range(number // 10):
        day = 1_780_000_000_000 + n * 60_000
        incidents.tell(
            shop_id=shop.id, key=f"told{tag}{n}", kind="injury", happened=day, text="A small burn"
        )
        change_number(
            shop_id=shop.id,
            key="strokes",
            value=80 + n % 30,
            unit="1",
            source="Set by this shop",
            low=0,
            high=400,
        )
