"""Planning and opening boils, people and numbers."""

from hashlib import sha256
from typing import Any

import pytest

from shop.models import Batch, Event, Sheet
from shop.plan.canonical import canonical
from shop.store import batches, numbers, people, read
from shop.store.access import access_batch, access_shop
from shop.store.errors import BadSheet, LetterTaken, NotHere, OutOfRange, PhaseWrong
from tests.store.scene import Loft, set_strokes, sheet


def test_opening_freezes_the_sheet_under_its_hash_and_tells_it_as_an_event(loft: Loft) -> None:
    batch = access_batch(loft.shop.id, "b1")
    assert batch.sheet == sha256(canonical(sheet()).encode()).hexdigest()
    assert (batch.phase, batch.letter, batch.lot) == ("open", "A", "L-b1")
    [opened] = read.batch_events(batch)
    assert (opened["kind"], opened["body"]) == (
        "batch_opened",
        {"sheet": batch.sheet, "lead": "maren"},
    )
    assert read.batch_state(batch)["lead"]["by"] == "maren"
    assert read.batch_sheet(batch) == sheet()


def test_two_open_boils_never_share_a_letter(loft: Loft) -> None:
    before = (Batch.objects.count(), Event.objects.count(), Sheet.objects.count())
    with pytest.raises(LetterTaken, match="Boil A is b1 until it is closed"):
        batches.open_batch(shop_id=loft.shop.id, sheet=sheet("b2"), lead="maren")
    assert (Batch.objects.count(), Event.objects.count(), Sheet.objects.count()) == before
    loft.kettle.press("batch_closed", {})
    loft.kettle.push()
    batches.open_batch(shop_id=loft.shop.id, sheet=sheet("b2"), lead="maren")
    assert [batch.key for batch in batches.batches(loft.shop.id, "open")] == ["b2"]


def test_a_planned_batch_may_be_planned_again_and_an_open_one_never(loft: Loft) -> None:
    first = batches.plan_batch(shop_id=loft.shop.id, sheet=sheet("b2", "B"))
    second = batches.plan_batch(shop_id=loft.shop.id, sheet={**sheet("b2", "C"), "day": "later"})
    assert (first.id, first.letter, second.letter) == (second.id, "B", "C")
    assert read.batch_state(second)["phase"] == "planned"
    batches.open_planned(shop_id=loft.shop.id, batch="b2", lead="tobit", by="maren")
    with pytest.raises(PhaseWrong, match="Batch b2 is open; this needs one that is planned"):
        batches.plan_batch(shop_id=loft.shop.id, sheet=sheet("b2", "C"))
    with pytest.raises(PhaseWrong, match="Batch b2 is open"):
        batches.open_planned(shop_id=loft.shop.id, batch="b2", lead="tobit")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"batch": "a b"}, 'its batch id is "a b"'),
        ({"batch": 7}, "its batch id is 7"),
        ({"mass": 1.5}, "1.5 can't stand in canonical JSON"),
        ({"title": "\ud83c"}, "surrogates not allowed"),
    ],
)
def test_a_sheet_that_can_not_be_frozen_leaves_nothing(
    loft: Loft, change: dict[str, Any], words: str
) -> None:
    before = access_shop("loft")
    with pytest.raises(BadSheet, match=words):
        batches.open_batch(shop_id=loft.shop.id, sheet={**sheet("b2", "B"), **change}, lead="m")
    assert (access_shop("loft"), Batch.objects.count()) == (before, 1)


def test_a_sheet_without_its_parts_is_named(loft: Loft) -> None:
    with pytest.raises(BadSheet, match="it has no lot, title, boil"):
        batches.open_batch(shop_id=loft.shop.id, sheet={"batch": "b2"}, lead="maren")


def test_people_are_added_and_switched_off_but_never_removed(loft: Loft) -> None:
    people.set_person(shop_id=loft.shop.id, key="maren", name="Maren", role="lead maker")
    people.set_person(shop_id=loft.shop.id, key="tobit", name="Tobit", role="second hand")
    people.set_active(shop_id=loft.shop.id, key="tobit", active=False)
    assert [p.key for p in people.people(loft.shop.id)] == ["maren", "tobit"]
    assert [p.key for p in people.people(loft.shop.id, active_only=True)] == ["maren"]
    with pytest.raises(NotHere, match="no person 'nobody'"):
        people.set_active(shop_id=loft.shop.id, key="nobody", active=True)


def test_a_number_keeps_its_history_and_its_limits(loft: Loft) -> None:
    for value in (115, 144):
        set_strokes(loft.shop.id, value)
    wrong: list[Any] = [-1, 401, 0.5, True, "115"]
    for value in wrong:
        with pytest.raises(OutOfRange, match=r"strokes is .*; it must be from 0 to 400"):
            set_strokes(loft.shop.id, value)
    assert numbers.numbers(loft.shop.id)["strokes"].value == 144
    history = numbers.number_history(loft.shop.id, "strokes")
    assert [(entry.value, entry.by) for entry in history] == [(144, "maren"), (115, "maren")]
