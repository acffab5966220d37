"""The spot questions: whoever takes over the invented boil at 12:30 finds each answer on the card.

What happened is the demo's day; that a card must answer such questions is HSE's human-factors
guidance on shift handover (based on what the incoming person needs), the questions are ours.
"""

from typing import Any

import pytest

from shop.demo.scenario import when
from shop.record.fold import fold
from shop.record.handover import card, spots
from shop.store.access import access_batch
from shop.store.read import batch_events, batch_sheet
from shop.store.shapes import ShopInfo

NOON = when("12:30")
Events = list[dict[str, Any]]


@pytest.fixture
def boil(demo: ShopInfo) -> tuple[dict[str, Any], Events]:
    batch = access_batch(demo.id, "demo-handover")
    return batch_sheet(batch), batch_events(batch)


@pytest.fixture
def answers(boil: tuple[dict[str, Any], Events]) -> dict[str, Any]:
    sheet, events = boil
    return {spot["ask"]: spot["answer"] for spot in spots(card(sheet, fold(sheet, events), NOON))}


def test_there_are_eight_and_none_is_left_without_an_answer(answers: dict[str, Any]) -> None:
    assert len(answers) == 8
    assert all(answers.values()), answers


def test_who_has_the_boil_and_which_end_reads(answers: dict[str, Any]) -> None:
    assert answers["lead"] == "maren"
    assert "dot of brown" in answers["reading_end"]


def test_what_goes_on_is_the_drawing_by_the_roller_hand(answers: dict[str, Any]) -> None:
    [drawing] = [line for line in answers["now"] if line["station"] == "roller"]
    assert (drawing["by"], drawing["stale"]) == ("isolde", 0)


def test_how_many_are_down_and_how_old_that_is(answers: dict[str, Any]) -> None:
    counted = {line["what"]: line for line in answers["counts"]["tallies"]}
    assert counted["rods"]["n"] == 26
    assert 0 <= counted["rods"]["age"] <= 5 * 60_000
    assert answers["counts"]["packs"] == 80


def test_the_hottest_thing_has_its_age(answers: dict[str, Any]) -> None:
    [hottest] = answers["hottest"]
    assert hottest["value"] >= 60_000
    assert hottest["age"] > 0
    assert hottest["stale"] == int(hottest["age"] > 5 * 60_000)


def test_what_comes_next_has_a_station_and_a_name(answers: dict[str, Any]) -> None:
    [coming] = answers["next"]
    assert (coming["station"], coming["by"]) == ("roller", "isolde")


def test_both_that_went_off_are_there_with_what_was_changed(answers: dict[str, Any]) -> None:
    codes = {entry["code"]: entry["mended"] for entry in answers["off"]}
    assert {"cook", "gauge"} <= set(codes)
    assert "10.7" in codes["gauge"]["text"]


def test_what_must_still_be_done_because_of_it_stays_until_it_is_paid(
    boil: tuple[dict[str, Any], Events],
) -> None:
    """The thick rods are laid aside with a tag: still to be cut at their own length."""
    sheet, events = boil
    before = card(sheet, fold(sheet, events), NOON)
    [thick] = [entry for entry in before["changed"] if entry["code"] == "gauge"]
    still = _after(events, "owed_added", {"text": "Cut the tagged", "because": thick["id"]})
    asked = card(sheet, fold(sheet, [*events, still]), NOON)
    assert thick["id"] in {entry["id"] for entry in asked["off"]}
    key = f"{still['device']}:{still['seq']}"
    paid = _after([*events, still], "owed_paid", {"key": key, "reason": "done"})
    done = card(sheet, fold(sheet, [*events, still, paid]), NOON)
    assert done["off"] == before["off"]


def _after(events: Events, kind: str, body: dict[str, Any]) -> dict[str, Any]:
    last = events[-1]
    place = {"seq": 9000 + len(events), "hlc": [NOON + len(events), 0], "happened": NOON}
    plain = {key: last[key] for key in ("device", "v", "batch", "by", "offset", "bound", "known")}
    return {**plain, **place, "recorded": NOON, "within": 0, "kind": kind, "body": body}
