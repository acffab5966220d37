"""From a lot to whoever got packs, and back: the two ways are each other's inverse."""

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.models import Batch, Customer, Order, OrderBoil, Scrap, ScrapMove
from shop.store import recall, stock, trace
from shop.store.access import access_batch
from shop.store.errors import NotHere, OutOfRange
from shop.store.facts import refresh
from shop.store.genealogy import reached
from shop.store.made import made_of
from tests.store.scene import Loft
from tests.store.stock_scene import KG, boil, fill_room, made, send

G = 1000


@pytest.fixture
def room(loft: Loft) -> Loft:
    fill_room(loft.shop)
    return loft


def an_order(loft: Loft, number: str = "W-0117") -> Order:
    keys = {"key": number.lower(), "name": "An invented customer", "reach": "a@b.example"}
    customer = Customer.objects.create(shop_id=loft.shop.id, at=1, **keys)
    words = {"stage": "packed", "title": "Beehive", "at": 1}
    return Order.objects.create(shop_id=loft.shop.id, number=number, customer=customer, **words)


def melt(loft: Loft, old: str, new: str, mg: int = 300 * G) -> None:
    """Scrap of one boil into another, past the rules: only the way it went matters here."""
    of, into = (Batch.objects.get(shop_id=loft.shop.id, key=key) for key in (old, new))
    shop, n = loft.shop.id, Scrap.objects.count()
    tin = Scrap.objects.create(shop_id=shop, key=f"t{n}", batch=of, mg=KG, what="ends", at=1)
    ScrapMove.objects.create(shop_id=shop, key=f"m{n}", scrap=tin, mg=mg, batch=into, at=1)


def boils(traced: trace.Traced) -> set[str]:
    return {one.key for one in traced.boils}


def marks(traced: trace.Traced) -> set[str]:
    return {one.lot.mark for one in traced.lots}


def test_a_sugar_lot_leads_to_its_boils_packs_and_customers(room: Loft) -> None:
    made(room.shop, "one", "C", ("sugar", "s118"), ("syrup", "g7"))
    made(room.shop, "two", "D", ("sugar", "s119"))
    send(room.shop, "one", 80, an_order(room))
    send(room.shop, "one", 6)
    send(room.shop, "one", -1)
    send(room.shop, "two", 40)
    found = trace.onward(room.shop.id, lots=["s118"])
    assert boils(found) == {"one"}
    assert [(one.order, one.customer, one.packs) for one in found.out] == [
        ("W-0117", "An invented customer", 80),
        ("", "", 5),
    ]
    assert found.boils[0].out == 85
    back = trace.back(room.shop.id, trace.boils_of_order(room.shop.id, "W-0117"))
    assert (boils(back), marks(back)) == ({"one"}, {"S118", "G7"})


def test_it_goes_through_rework_however_often(room: Loft) -> None:
    for key, letter, lot in (("one", "C", "s118"), ("two", "D", "s119"), ("three", "E", "s119")):
        made(room.shop, key, letter, ("sugar", lot))
    melt(room, "one", "two")
    melt(room, "two", "three")
    send(room.shop, "three", 10)
    found = trace.onward(room.shop.id, lots=["s118"])
    assert boils(found) == {"one", "two", "three"}
    by = {one.key: one for one in found.boils}
    assert [by[key].direct for key in ("one", "two", "three")] == [True, False, False]
    assert by["three"].scrap_of == ("L-two",)
    assert [one.packs for one in found.out] == [10]
    assert marks(trace.back(room.shop.id, ["three"])) == {"S118", "S119"}
    assert marks(trace.back(room.shop.id, ["one"])) == {"S118"}


def test_a_circle_ends_the_way_all_the_same(room: Loft) -> None:
    for key, letter in (("one", "C"), ("two", "D")):
        made(room.shop, key, letter, ("sugar", "s118"))
    melt(room, "one", "two")
    melt(room, "two", "one")
    assert boils(trace.back(room.shop.id, ["one"])) == {"one", "two"}
    # What each was made of is told once, not for ever.
    assert [one.batch for one in made_of(access_batch(room.shop.id, "one")).melted] == ["two"]


GRAPHS = st.dictionaries(st.integers(0, 12), st.sets(st.integers(0, 12), max_size=4), max_size=12)


@given(ways=GRAPHS, start=st.integers(0, 12))
@settings(max_examples=200)
def test_what_is_reached_onward_reaches_it_backward(ways: dict[int, set[int]], start: int) -> None:
    back: dict[int, set[int]] = {}
    for old, news in ways.items():
        for new in news:
            back.setdefault(new, set()).add(old)
    there = reached(ways, {start})
    assert there == {one for one in range(13) if start in reached(back, {one})} | {start}


@pytest.mark.parametrize("seed", range(4))
def test_lot_to_packs_and_packs_to_lot_are_inverse(room: Loft, seed: int) -> None:
    """Boil by boil: a lot leads to exactly the boils that lead back to it."""
    import random

    chance = random.Random(seed)
    lots = ["s118", "s119", "g7", "b1"]
    material = {"s118": "sugar", "s119": "sugar", "g7": "syrup", "b1": "butter"}
    keys = [f"boil{n}" for n in range(5)]
    for n, key in enumerate(keys):
        taken = chance.sample(lots, chance.randrange(1, 3))
        made(room.shop, key, "CDEFG"[n], *((material[lot], lot) for lot in taken))
        for old in chance.sample(keys[:n], min(n, chance.randrange(3))):
            melt(room, old, key)
    onward = {lot: boils(trace.onward(room.shop.id, lots=[lot])) for lot in lots}
    back = {key: {one.lot.key for one in trace.back(room.shop.id, [key]).lots} for key in keys}
    for lot in lots:
        assert onward[lot] == {key for key in keys if lot in back[key]}
    assert any(onward.values())


def queries(ask: Any) -> int:
    with CaptureQueriesContext(
        connection,
    ) as asked:
        ask()
    return len(asked)


def test_however_many_boils_there_are_a_trace_asks_as_often(room: Loft) -> None:
    made(room.shop, "one", "C", ("sugar", "s118"))
    send(room.shop, "one", 5, an_order(room))

    def onward() -> int:
        trace.onward(room.shop.id, lots=["s118"])
        return queries(lambda: trace.onward(room.shop.id, lots=["s118"]))

    def back() -> int:
        return queries(lambda: trace.back(room.shop.id, ["one"]))

    first = (onward(), back())
    for n, letter in enumerate("DEFGH"):
        made(room.shop, f"more{n}", letter, ("sugar", "s118"), ("syrup", "g7"))
        melt(room, f"more{n}", "one")
        send(room.shop, f"more{n}", 5, an_order(room, f"W-{n}"))
    assert (onward(), back()) == first
    assert max(first) <= 8


def test_words_find_lots_boils_orders_and_customers(room: Loft, outsider: Loft) -> None:
    made(room.shop, "one", "C", ("sugar", "s118"))
    an_order(room)
    assert [lot.mark for lot in trace.find(room.shop.id, "S11").lots] == ["S119", "S118"]
    assert trace.find(room.shop.id, "l-on").boils == [("one", "L-one", "Test")]
    for words in ("0117", "invented"):
        assert [number for number, *_ in trace.find(room.shop.id, words).orders] == ["W-0117"]
    for words in ("S118", "L-one", "0117", "", "a\0b"):
        assert trace.find(outsider.shop.id, words) == trace.Found([], [], [])


def test_an_order_leads_to_boils_that_are_only_planned_for_it(room: Loft) -> None:
    boil(room.shop, "one")
    row = Batch.objects.get(shop_id=room.shop.id, key="one")
    OrderBoil.objects.create(shop_id=room.shop.id, order=an_order(room), batch=row)
    assert trace.boils_of_order(room.shop.id, "W-0117") == ["one"]


def test_another_shop_traces_nothing_of_ours(room: Loft, outsider: Loft) -> None:
    made(room.shop, "one", "C", ("sugar", "s118"))
    send(room.shop, "one", 5, an_order(room))
    refresh(room.shop.id)
    there = outsider.shop.id
    for found in (
        trace.onward(there, lots=["s118"], boils=["one"]),
        trace.back(there, ["one"]),
    ):
        assert found == trace.Traced((), (), ())
    assert trace.boils_of_order(there, "W-0117") == []


# Goods called back


def test_goods_are_called_back_and_everybody_who_has_packs_stands_on_the_list(room: Loft) -> None:
    made(room.shop, "one", "C", ("sugar", "s118"))
    made(room.shop, "two", "D", ("sugar", "s119"))
    melt(room, "one", "two")
    order = an_order(room)
    send(room.shop, "one", 80, order)
    send(room.shop, "two", 10, order)
    send(room.shop, "two", 6)
    send(room.shop, "one", 4)
    send(room.shop, "one", -4)
    key = recall.call_back(shop_id=room.shop.id, lots=["s118"], why="Bits of wire", by="maren")
    assert stock.access_lot(room.shop.id, "s118").state == "held"
    found = recall.recalled(room.shop.id, key)
    assert [(h.order, h.packs, h.reach, len(h.told)) for h in found.holders] == [
        ("W-0117", 90, "a@b.example", 0),
        ("", 6, "", 0),
    ]
    recall.tell(shop_id=room.shop.id, key=key, order="W-0117", how="By telephone", packs_back=70)
    recall.tell(shop_id=room.shop.id, key=key, order="", how="A note in the window")
    found = recall.recalled(room.shop.id, key)
    assert [(h.back, [one.how for one in h.told]) for h in found.holders] == [
        (70, ["By telephone"]),
        (0, ["A note in the window"]),
    ]
    # Packs that went out after it was called are on the list too.
    send(room.shop, "two", 5, an_order(room, "W-0200"))
    assert [h.order for h in recall.recalled(room.shop.id, key).holders][:2] == ["W-0117", "W-0200"]
    with pytest.raises(OutOfRange, match="Packs back is 21"):
        recall.tell(shop_id=room.shop.id, key=key, order="W-0117", how="Came in", packs_back=21)
    with pytest.raises(NotHere, match="no order with packs of this 'W-9'"):
        recall.tell(shop_id=room.shop.id, key=key, order="W-9", how="Called")


def test_a_recall_names_what_is_there_and_is_of_its_own_shop(room: Loft, outsider: Loft) -> None:
    with pytest.raises(OutOfRange, match="Lots and boils to call back is 0"):
        recall.call_back(shop_id=room.shop.id, why="Nothing")
    with pytest.raises(NotHere, match="no lot 's118'"):
        recall.call_back(shop_id=outsider.shop.id, lots=["s118"], why="Theirs")
    key = recall.call_back(shop_id=room.shop.id, boils=["b1"], why="Glass", key="form")
    assert recall.call_back(shop_id=room.shop.id, boils=["b1"], why="Twice", key="form") == key
    assert [one.why for one in recall.recalls(room.shop.id)] == ["Glass"]
    assert recall.recalls(outsider.shop.id) == []
    with pytest.raises(NotHere, match="no recall"):
        recall.recalled(outsider.shop.id, key)
