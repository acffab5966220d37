"""What boils are listed and found by: of now, of this shop, and each of them once."""

import time
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.demo.load import ensure
from shop.demo.scenario import demo_sheet
from shop.models import BoilFacts
from shop.record.found import plain_words
from shop.store import batches, boils, customers, facts, orders, read
from shop.store.access import access_batch
from shop.store.boils import ANY_OFF, BoilLine, Sought
from shop.store.errors import NotHere
from shop.store.shapes import ShopInfo
from shop.store.verify import broken_links
from tests.store.scene import Loft, sheet

DAY = "2026-11-%02d"


def found(shop_id: int, **sought: Any) -> list[str]:
    """Lots of the boils that are like this, the newest first."""
    return [line.lot for line in boils.boils(shop_id, Sought(**sought)).boils]


def plan(loft: Loft, key: str, **changes: Any) -> None:
    batches.plan_batch(shop_id=loft.shop.id, sheet={**sheet(key), **changes})


@pytest.fixture
def demo(db: None) -> ShopInfo:
    return ensure()


def test_the_invented_boil_is_found_by_all_that_was_entered_of_it(demo: ShopInfo) -> None:
    """Customer, flavour, order, lot, picture, part, remark, what went off, colour and month."""
    for words in (
        *("invented CUSTOMER", "lemon balm", "w-0117", "l6329a", "beehive", "bee stripes"),
        *("Visitor at the door", "red tag", "gauge", "faster"),
    ):
        assert "L6329A" in found(demo.id, words=words), words
    assert found(demo.id, words="beehive giraffe") == []
    assert found(demo.id, words="Rod stub instead") == []
    assert "L6329A" in found(demo.id, month="2026-11")
    assert found(demo.id, month="2026-12") == []
    assert "L6329A" in found(demo.id, swatches=("#4a2811",))
    assert found(demo.id, swatches=("#123456",)) == []
    assert found(demo.id, swatches=()) == []
    assert "L6329A" in found(demo.id, customer="An invented customer")
    assert found(demo.id, customer="An invented") == []


def test_what_went_off_is_found_by_its_code_and_not_by_the_like(demo: ShopInfo) -> None:
    assert set(found(demo.id, off="cook")) == {"L6329A", "L6329B"}
    assert set(found(demo.id, off=ANY_OFF)) == {"L6329A", "L6329B"}
    assert found(demo.id, off="coo") == []
    assert found(demo.id, off="grain") == []


def test_the_line_tells_what_the_record_tells(demo: ShopInfo) -> None:
    """Section 8: 95 bags, 9.69 kg packed, 88.7 % of the log."""
    line = line_of(demo.id, "demo-finished")
    told = read.batch_report(access_batch(demo.id, "demo-finished"))
    assert (line.bags, line.packed_mg, line.yield_ppm) == (95, 9_690_000, told["yield"])
    assert line.went_off == len(told["deviations"])
    assert (line.customer, line.day) == ("An invented customer", "2026-11-25")


def line_of(shop_id: int, key: str) -> BoilLine:
    return next(line for line in boils.boils(shop_id, Sought()).boils if line.key == key)


def test_a_boil_that_went_on_is_read_again_and_nothing_else_is(loft: Loft) -> None:
    facts.refresh(loft.shop.id)
    assert found(loft.shop.id, words="streak") == []
    loft.kettle.press("note_written", {"text": "A STREAK of brown"})
    loft.kettle.push()
    assert found(loft.shop.id, words="streak of") == ["L-b1"]
    with CaptureQueriesContext(connection) as asked:
        assert facts.refresh(loft.shop.id) == 0
    assert len(asked) == 1


def test_a_boil_that_is_planned_anew_is_found_by_its_new_sheet(loft: Loft) -> None:
    """Its position is the same: nothing happened yet."""
    plan(loft, "b2", title="Heron")
    assert found(loft.shop.id, words="heron") == ["L-b2"]
    state = read.batch_state(access_batch(loft.shop.id, "b2"))
    graph = [
        {**q, "op": ["given", 150_000]} if q["name"] == "wanted" else q for q in sheet()["graph"]
    ]
    plan(loft, "b2", title="Stork", graph=graph)
    assert (found(loft.shop.id, words="heron"), found(loft.shop.id, words="stork")) == (
        [],
        ["L-b2"],
    )
    again = read.batch_state(access_batch(loft.shop.id, "b2"))
    assert (state["figures"]["wanted"], again["figures"]["wanted"]) == (149_000, 150_000)


def test_other_shops_boils_are_neither_found_nor_read(loft: Loft, outsider: Loft) -> None:
    plan(loft, "b2", title="Heron", portions=[{"id": "x", "swatch": "#123456"}])
    facts.refresh(loft.shop.id)
    there = outsider.shop.id
    for sought in ({"words": "heron"}, {"swatches": ("#123456",)}, {"customer": ""}):
        assert "L-b2" not in found(there, **sought)
    for seen in (boils.all_swatches, boils.newest_swatches):
        assert ("#123456" in seen(loft.shop.id), "#123456" in seen(there)) == (True, False)
    with pytest.raises(NotHere):
        boils.boils(there, Sought(), after="b2")
    assert set(BoilFacts.objects.values_list("shop_id", "batch__shop_id")) == {
        (shop, shop) for shop in (loft.shop.id, there)
    }


def test_pages_hold_every_boil_once_whatever_is_planned_meanwhile(loft: Loft) -> None:
    keys = [f"k{n:02d}" for n in range(23)]
    for n, key in enumerate(keys):
        plan(loft, key, day=DAY % (1 + n * 7 % 5))
    seen: list[str] = []
    after, page = "", 0
    while page == 0 or after:
        got = boils.boils(loft.shop.id, Sought(), after=after, most=4)
        seen += [line.key for line in got.boils]
        after, page = got.after, page + 1
        plan(loft, f"new{page}", day=DAY % 28)
        plan(loft, f"old{page}", day=DAY % 1)
    ours = [key for key in seen if key.startswith("k")]
    assert sorted(ours) == keys
    assert len(seen) == len(set(seen))
    days = {key: DAY % (1 + n * 7 % 5) for n, key in enumerate(keys)}
    assert ours == sorted(ours, key=lambda key: (days[key], key), reverse=True)


def test_a_wrong_row_is_told_by_verify_and_healed_when_the_fold_is_another(
    loft: Loft, monkeypatch: pytest.MonkeyPatch
) -> None:
    facts.refresh(loft.shop.id)
    assert list(broken_links()) == []
    BoilFacts.objects.update(words="tampered with")
    assert [broken.where for broken in broken_links()] == ["facts of b1"]
    facts.refresh(loft.shop.id)
    assert found(loft.shop.id, words="tampered") == ["L-b1"]
    monkeypatch.setattr(facts, "READ_BY", facts.READ_BY + 1)
    assert found(loft.shop.id, words="tampered") == []
    assert list(broken_links()) == []


def test_reading_stops_in_time_and_says_how_many_are_left(
    loft: Loft, monkeypatch: pytest.MonkeyPatch
) -> None:
    for n in range(50):
        plan(loft, f"b{n + 2}")
    clock = iter(range(1000))
    monkeypatch.setattr(time, "monotonic", lambda: next(clock))
    left = [facts.refresh(loft.shop.id, for_s=0.5) for _ in range(3)]
    assert left == [51 - facts.TOGETHER, 51 - 2 * facts.TOGETHER, 0]


def test_odd_sheets_and_odd_text_are_read_as_far_as_they_go(loft: Loft) -> None:
    odd = {
        "order": [1],
        "picture": "?",
        "parts": {"a": 1},
        "portions": [3, {"swatch": 7}],
        "day": 9,
    }
    plan(loft, "odd", **odd)
    loft.kettle.press("note_written", {"text": "Große\u00a0Biene 100% _x_"})
    loft.kettle.push()
    assert found(loft.shop.id, words="GROSSE biene") == ["L-b1"]
    assert found(loft.shop.id, words="100%") == ["L-b1"]
    assert found(loft.shop.id, words="1%0") == []
    assert found(loft.shop.id, words="_x_\0") == ["L-b1"]
    plan(loft, "odder", graph=[{}], balance=[{"sign": "?"}])
    assert set(found(loft.shop.id)) == {"L-odder", "L-odd", "L-b1"}
    assert found(loft.shop.id, words="l-odder test") == ["L-odder"]


def test_plain_words_are_plain_already() -> None:
    for text in ("İstanbul ẞ ﬀ", "Ǆ Å Å", "  a\tb ", "\ud800 \0"):
        once = plain_words(text)
        assert plain_words(once) == once
        assert once.encode()


def test_the_demo_sheet_tells_its_swatches_in_its_own_order(demo: ShopInfo) -> None:
    facts.refresh(demo.id)
    assert set(boils.newest_swatches(demo.id)) == {
        portion["swatch"] for portion in demo_sheet("demo-planned")["portions"]
    }


def test_whose_order_it_was_is_found_by_name_until_they_are_erased(
    loft: Loft, outsider: Loft
) -> None:
    plan(loft, "b2")
    plan(outsider, "b2")
    made = orders.new_order(
        shop_id=loft.shop.id,
        number="W-1",
        customer="",
        title="Heron",
        said={},
        who=("Pond & Daughters", "by the door"),
    )
    orders.link_boil(shop_id=loft.shop.id, number="W-1", batch="b2", day=DAY % 2)
    for sought in ({"words": "DAUGHTERS pond"}, {"customer": "Pond & Daughters"}):
        assert found(loft.shop.id, **sought) == ["L-b2"]
        assert found(outsider.shop.id, **sought) == []
    assert found(loft.shop.id, customer="Pond") == []
    assert line_of(loft.shop.id, "b2").customer == "Pond & Daughters"
    customers.erase(shop_id=loft.shop.id, key=made.customer.key, by="maren")
    assert found(loft.shop.id, words="daughters") == []
    assert line_of(loft.shop.id, "b2").customer == ""
