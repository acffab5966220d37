"""Orders: history and row agree, stages follow each other, the yes to a picture counts and is
lost, boils and deliveries, and nothing of it is another shop's."""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from shop.models import Order
from shop.plan.errors import OrderWrong, StageWrong, StillMissing
from shop.plan.orders.said import NOTHING
from shop.plan.orders.stages import NEXT, STAGES
from shop.store import batches, customers, drawings, orders
from shop.store.deliveries import deliver, deliveries
from shop.store.errors import NotHere, NumberTaken, OrderMoved, OutOfRange
from shop.store.order_entries import START, replay
from shop.store.order_reading import (
    access_order,
    boils_of_lots,
    history,
    orders_of_days,
    orders_page,
    orders_without_day,
    set_for,
)
from shop.store.order_shapes import OrderInfo
from tests.store.order_scene import WHOLE, asked, move, packed_loft
from tests.store.scene import Loft, a_version, open_loft, sheet


def test_half_an_enquiry_is_kept_and_what_is_missing_holds_back_the_yes(loft: Loft) -> None:
    order = asked(loft, due="")
    assert (order.stage, order.said) == ("asked", NOTHING)
    with pytest.raises(StillMissing, match="somebody must say: the price"):
        move(loft, "quoted")
    change(loft, order, price=45_000)
    with pytest.raises(StillMissing, match="the flavour") as short:
        move(loft, "quoted", "agreed")
    assert "the day it must be there" in short.value.missing
    change(loft, access_order(loft.shop.id, "W-1"), due="2026-12-04", **WHOLE)
    assert move(loft, "agreed").stage == "agreed"


def change(loft: Loft, order: OrderInfo, **more: Any) -> OrderInfo:
    plain: Any = {"title": order.title, "due": order.due, "drawing": order.drawing}
    plain |= {key: more.pop(key) for key in list(more) if key in plain}
    said = {**order.said, **more}
    how: Any = {"number": order.number, "seen": order.entries, "by": "greta", "said": said}
    return orders.change_order(shop_id=loft.shop.id, **how, **plain)


def test_the_history_replayed_is_the_row_and_says_who_and_what(loft: Loft) -> None:
    order = change(loft, asked(loft, **WHOLE), text="E\u0301lan", title="Two bees")
    move(loft, "quoted", "agreed")
    orders.set_make_day(shop_id=loft.shop.id, number="W-1", day="2026-11-30", by="pim")
    told = history(order)
    assert [(e.by, e.what) for e in told] == [
        *(("pim", "asked"), ("greta", "changed"), ("pim", "quoted")),
        *(("pim", "agreed"), ("pim", "day_set")),
    ]
    # Only what differs, in form NFC.
    assert told[1].sets == {"title": "Two bees", "said": {"text": "Élan"}}
    assert replay(told) == row_of(loft, "W-1")


def row_of(loft: Loft, number: str) -> dict[str, Any]:
    """What the row holds of what entries set."""
    row = Order.objects.get(shop_id=loft.shop.id, number=number)
    plain = {key: getattr(row, key) for key in START if key != "drawing"}
    return {**plain, "drawing": row.drawing.key if row.drawing else ""}


class AnyHistory(TestCase):
    """Whatever is said, moved and refused in whatever order: history and row agree."""

    @given(st.lists(st.sampled_from([*STAGES, "price", "due", "whole", "day"]), max_size=12))
    def test_it_replays_to_the_row(self, acts: list[str]) -> None:
        loft = open_loft(f"loft-{Order.objects.count()}")
        order = asked(loft)
        for n, act in enumerate(acts):
            now = access_order(loft.shop.id, "W-1")
            try:
                self.act(loft, now, act, n)
            except (StageWrong, StillMissing, OrderWrong):
                assert access_order(loft.shop.id, "W-1") == now
        told = history(order)
        assert replay(told) == row_of(loft, "W-1")
        assert [entry.number for entry in told] == list(range(1, len(told) + 1))
        # Each stage followed one that it may follow.
        stages = [entry.sets["stage"] for entry in told if "stage" in entry.sets]
        for before, after in pairwise(stages):
            assert after in NEXT[before]

    def act(self, loft: Loft, now: OrderInfo, act: str, n: int) -> None:
        if act == "day":
            day = f"2026-11-{n + 1:02d}"
            orders.set_make_day(shop_id=loft.shop.id, number="W-1", day=day)
        elif act in STAGES:
            move(loft, act)
        else:
            more: Any = {
                "price": {"price": n},
                "due": {"due": ""},
                "whole": {**WHOLE, "due": "2027-01-01"},
            }
            change(loft, now, **more[act])


def test_what_was_read_before_somebody_elses_change_is_not_written_over_it(loft: Loft) -> None:
    order = asked(loft)
    change(loft, order, flavour="quince")
    with pytest.raises(OrderMoved, match="Somebody changed W-1 while you wrote"):
        change(loft, order, flavour="rose")
    assert access_order(loft.shop.id, "W-1").said["flavour"] == "quince"


def test_a_change_that_leaves_something_open_takes_the_agreement_back(loft: Loft) -> None:
    asked(loft, **WHOLE)
    agreed = move(loft, "quoted", "agreed")
    assert change(loft, agreed, note="ring first").stage == "agreed"
    agreed = access_order(loft.shop.id, "W-1")
    assert change(loft, agreed, flavour="").stage == "quoted"
    assert history(agreed)[-1].note == "still to say: the flavour"


@pytest.mark.parametrize(
    ("number", "why"), [("", "order number"), ("new", "order number"), ("W 1", "order number")]
)
def test_a_number_that_could_be_an_address_is_refused(loft: Loft, number: str, why: str) -> None:
    with pytest.raises(OutOfRange, match=why):
        asked(loft, number)


def test_numbers_count_on_and_none_is_taken_twice(loft: Loft) -> None:
    assert orders.next_number(loft.shop.id) == "W-0001"
    asked(loft, "W-0099")
    assert orders.next_number(loft.shop.id) == "W-0100"
    with pytest.raises(NumberTaken, match="an order W-0099 already"):
        asked(loft, "W-0099")


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"country": "UK"}, "country is 'UK'"),
        ({"rod_um": 50_000}, "from 0 to 40000"),
        ({"packs": [{"count": 0, "fill_mg": 100_000, "packaging": ""}]}, "How many packs is 0"),
        ({"remake_by": "soon"}, "as 2026-12-04"),
        ({"flavour": "x" * 61}, "at most 60"),
        ({"accepts": ["all"]}, "accepts is 'all'"),
    ],
)
def test_what_is_no_answer_is_refused_with_value_and_limit(
    loft: Loft, said: dict[str, Any], why: str
) -> None:
    with pytest.raises(OrderWrong, match=why):
        asked(loft, **said)
    assert orders_page(loft.shop.id).total == 0


def a_picture(loft: Loft) -> str:
    how: Any = {"title": "Bee", "order": {"rod_um": 14_000}, "first": a_version()}
    return drawings.new_drawing(shop_id=loft.shop.id, **how).key


def proof_of(loft: Loft, key: str, number: int = 1, rod: int = 14_000) -> str:
    how: Any = {"number": number, "rod_um": rod, "face": "{}", "days": 14}
    return drawings.new_proof(shop_id=loft.shop.id, key=key, **how).key


def stage(loft: Loft) -> str:
    return access_order(loft.shop.id, "W-1").stage


def test_the_customers_yes_agrees_a_changed_picture_takes_it_back_and_undoing_gives_it(
    loft: Loft,
) -> None:
    shop, key = loft.shop.id, a_picture(loft)
    order = asked(loft, drawing=key, **WHOLE)
    move(loft, "quoted")
    with pytest.raises(StillMissing, match="the yes to a proof"):
        move(loft, "agreed")
    drawings.approve(proof=proof_of(loft, key), name="Ada L")
    assert (stage(loft), access_order(shop, "W-1").approved) == ("agreed", True)
    drawings.add_version(shop_id=shop, key=key, on=1, version=a_version("Mended"), by="greta")
    assert (stage(loft), access_order(shop, "W-1").approved) == ("quoted", False)
    drawings.take_back(shop_id=shop, key=key, by="greta")
    assert stage(loft) == "agreed"
    drawings.set_order(shop_id=shop, key=key, title="Bee", order={"rod_um": 18_000}, by="greta")
    assert stage(loft) == "quoted"
    assert [e.what for e in history(order)][2:] == [
        *("approved", "agreed", "taken_back", "agreed", "taken_back")
    ]
    # The name the customer typed is not in the history.
    assert "Ada" not in repr(history(order))


def test_a_yes_to_another_rod_or_with_something_missing_agrees_nothing(loft: Loft) -> None:
    key = a_picture(loft)
    asked(loft, drawing=key, **{**WHOLE, "rod_um": 18_000})
    asked(loft, "W-2", drawing=key, **{**WHOLE, "flavour": ""})
    for number in ("W-1", "W-2"):
        move(loft, "quoted", number=number)
    drawings.approve(proof=proof_of(loft, key), name="Ada L")
    assert stage(loft) == "quoted"
    two = access_order(loft.shop.id, "W-2")
    assert (two.stage, two.approved) == ("quoted", True)
    # Both asked for the same rod now, and the customer saw another.
    drawings.set_order(shop_id=loft.shop.id, key=key, title="Bee", order={"rod_um": 18_000})
    assert (stage(loft), access_order(loft.shop.id, "W-1").approved) == ("quoted", False)


def planned(loft: Loft) -> None:
    """An agreed order with a picture and a boil planned for it."""
    key = a_picture(loft)
    asked(loft, drawing=key, **WHOLE)
    move(loft, "quoted")
    drawings.approve(proof=proof_of(loft, key), name="Ada L")
    batches.plan_batch(shop_id=loft.shop.id, sheet=sheet("b2", "B"))
    orders.link_boil(shop_id=loft.shop.id, number="W-1", batch="b2", day="2026-11-30", by="pim")


def test_a_planned_boil_moves_the_order_and_is_linked_once(loft: Loft) -> None:
    planned(loft)
    again = orders.link_boil(shop_id=loft.shop.id, number="W-1", batch="b2", day="2026-11-30")
    assert (again.stage, again.make_day) == ("planned", "2026-11-30")
    assert [boil.batch for boil in again.boils] == ["b2"]
    assert [e.what for e in history(again)].count("planned") == 1


def test_a_picture_changed_before_the_boil_is_open_takes_back_and_after_it_does_not(
    loft: Loft,
) -> None:
    planned(loft)
    key = access_order(loft.shop.id, "W-1").drawing
    batches.open_planned(shop_id=loft.shop.id, batch="b2", lead="maren")
    drawings.add_version(shop_id=loft.shop.id, key=key, on=1, version=a_version("Mended"))
    assert stage(loft) == "planned"


def test_a_picture_changed_while_the_boil_is_only_planned_takes_it_back(loft: Loft) -> None:
    planned(loft)
    key = access_order(loft.shop.id, "W-1").drawing
    drawings.add_version(shop_id=loft.shop.id, key=key, on=1, version=a_version("Mended"))
    assert stage(loft) == "quoted"


def test_lists_find_by_stage_word_day_and_customer_those_due_first(loft: Loft) -> None:
    shop = loft.shop.id
    asked(loft, "W-1", due="2026-12-09", flavour="Rose")
    asked(loft, "W-2", due="2026-12-04", text="ÉLAN")
    asked(loft, "W-3", due="")
    orders.move(shop_id=shop, number="W-3", to="declined")

    def numbers(**how: Any) -> list[str]:
        return [line.number for line in orders_page(shop, **how).orders]

    assert numbers() == ["W-2", "W-1", "W-3"]
    assert numbers(stages=["asked"]) == ["W-2", "W-1"]
    assert numbers(words="rose") == ["W-1"]
    assert numbers(words="ÉLAN bee") == ["W-2"]
    assert numbers(words="ada") == ["W-2", "W-1", "W-3"]
    assert numbers(due_by="2026-12-04") == ["W-2"]
    assert numbers(customer=access_order(shop, "W-1").customer.key) == ["W-1"]
    assert numbers(start=1, most=1) == ["W-1"]
    assert orders_page(shop, most=1).total == 3
    assert numbers(words="\0") == []


def test_a_week_knows_its_orders_and_boils(loft: Loft) -> None:
    shop = loft.shop.id
    asked(loft, "W-1")
    asked(loft, "W-2")
    orders.set_make_day(shop_id=shop, number="W-1", day="2026-11-30")
    [(order, boils)] = orders_of_days(shop, "2026-11-30", "2026-12-04")
    assert (order.number, boils) == ("W-1", [])
    assert [o.number for o, _ in orders_without_day(shop, most=9)] == ["W-2"]
    assert set_for(shop, "2026-11-30", "2026-12-04") == {"2026-11-30": 1}
    assert [info.key for info, _ in boils_of_lots(shop, ["L-b1"])] == ["b1"]
    assert boils_of_lots(shop, ["L-b9"]) == []
    move(loft, "declined")
    with pytest.raises(OrderWrong, match="W-1 is declined"):
        orders.set_make_day(shop_id=shop, number="W-1", day="")


def test_another_shop_reaches_nothing_of_an_order_a_customer_or_a_delivery(
    loft: Loft, outsider: Loft
) -> None:
    packed_loft(loft)
    key, there = access_order(loft.shop.id, "W-1").customer.key, outsider.shop.id
    order = access_order(loft.shop.id, "W-1")
    drawing = a_picture(loft)
    own = customers.new_customer(shop_id=there, name="Bo", reach="bo@example.org").key
    out: Any = {"packs": 1, "day": "2026-12-04"}
    new: Any = {"number": "W-9", "title": "x", "said": {}}
    for act in (
        lambda: access_order(there, "W-1"),
        lambda: orders.move(shop_id=there, number="W-1", to="declined"),
        lambda: orders.set_make_day(shop_id=there, number="W-1", day=""),
        lambda: change(outsider, order),
        lambda: orders.link_boil(shop_id=there, number="W-1", batch="b1", day="2026-11-30"),
        lambda: orders.new_order(shop_id=there, customer=key, **new),
        lambda: orders.new_order(shop_id=there, customer=own, drawing=drawing, **new),
        lambda: customers.access_customer(there, key),
        lambda: customers.change_customer(shop_id=there, key=key, name="x", reach=""),
        lambda: customers.erase(shop_id=there, key=key, by="x"),
        lambda: deliver(shop_id=there, batch="b1", order="W-1", **out),
        lambda: deliver(shop_id=there, batch="b9", order="", **out),
    ):
        with pytest.raises(NotHere):
            act()
    assert orders_page(there).total == 0
    assert deliveries(there) == []
    assert [c.name for c in customers.customers(there, named="", most=9)] == ["Bo"]


def test_who_was_erased_is_nobody_any_more_and_the_order_stays(loft: Loft) -> None:
    order = asked(loft, **WHOLE)
    key = order.customer.key
    customers.change_customer(shop_id=loft.shop.id, key=key, name="Ada Lov", reach="at the mill")
    customers.erase(shop_id=loft.shop.id, key=key, by="pim")
    left = access_order(loft.shop.id, "W-1")
    assert (left.customer.name, left.customer.reach, left.title) == ("", "", "Bee")
    assert left.customer.erased is not None
    assert customers.customers(loft.shop.id, named="Ada", most=9) == []
    for act in (
        lambda: customers.erase(shop_id=loft.shop.id, key=key, by="pim"),
        lambda: customers.change_customer(shop_id=loft.shop.id, key=key, name="x", reach="x"),
    ):
        with pytest.raises(NotHere, match="no customer any more"):
            act()
    move(loft, "quoted")
    with pytest.raises(StillMissing, match="how to reach them"):
        move(loft, "agreed")


@pytest.mark.parametrize(("name", "reach"), [("", "x"), ("  ", "x"), ("x" * 81, ""), ("a\0", "")])
def test_a_customer_has_a_name(loft: Loft, name: str, reach: str) -> None:
    with pytest.raises(OutOfRange, match="length of the name"):
        customers.new_customer(shop_id=loft.shop.id, name=name, reach=reach)
