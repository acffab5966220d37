"""The fold's laws: any order, any number of copies, a strike hides exactly its target."""

import json
import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.record.fold import fold
from shop.record.handover import card, glance
from shop.record.live import history as look_back
from shop.record.order import in_order
from tests.record.histories import SHEET, START, history


def made(
    kind: str, body: Any, *, device: str = "kettle0", seq: int = 1, **more: Any
) -> dict[str, Any]:
    """An event of the lead maker on the kettle's phone, a second after the one before."""
    now = START + seq * 1000
    plain = {"v": 1, "batch": "b1", "by": "maren", "recorded": now, "happened": now, "within": 0}
    clock = {"offset": 0, "bound": 5, "known": "pressed", "hlc": [now, 0]}
    return {"device": device, "seq": seq, "kind": kind, "body": body, **plain, **clock, **more}


def reading(n: int, *, seq: int, d: int = 10, what: str = "peak", **more: Any) -> dict[str, Any]:
    body = {"what": what, "n": n, "d": d, "unit": "degC", "instrument": "t1", "how": "inside"}
    body |= {k: more.pop(k) for k in ("instead_of",) if k in more}
    return made("reading_taken", body, seq=seq, **more)


@given(st.integers(0, 10**6), st.integers(0, 60), st.randoms())
@settings(max_examples=150, deadline=None)
def test_any_order_and_any_number_of_copies_give_the_same_state(
    seed: int, length: int, chance: random.Random
) -> None:
    events = history(seed, length)
    shuffled = events + chance.sample(events, len(events) // 2)
    chance.shuffle(shuffled)
    assert fold(SHEET, shuffled) == fold(SHEET, events)


@given(st.integers(0, 10**6), st.integers(1, 60))
@settings(max_examples=100, deadline=None)
def test_every_event_stands_in_the_history_exactly_once(seed: int, length: int) -> None:
    events = history(seed, length)
    assert [entry["event"] for entry in look_back(in_order(events))] == in_order(events)


@given(st.integers(0, 10**6), st.integers(0, 60))
@settings(max_examples=100, deadline=None)
def test_striking_the_newest_entry_returns_the_state_before_it(seed: int, length: int) -> None:
    events = [e for e in history(seed, length) if e["kind"] != "batch_closed"]
    last = made("note_written", {"text": "on the wrong boil"}, device="zzzzzz", hlc=[2**50, 0])
    strike = made("struck", {"target": "zzzzzz:1"}, device="zzzzzz", seq=2, hlc=[2**50, 1])
    before, after = fold(SHEET, events), fold(SHEET, [*events, last, strike])
    before["late"], after["late"] = [], []
    assert after == before


def test_a_strike_can_itself_be_struck() -> None:
    events = [
        reading(1523, seq=1),
        made("struck", {"target": "kettle0:1"}, seq=2),
        made("struck", {"target": "kettle0:2"}, seq=3),
    ]
    assert fold(SHEET, events[:2])["values"] == {}
    assert fold(SHEET, events)["latest"] == {"peak": 152_300}


@pytest.mark.parametrize("swap", [False, True])
def test_a_reading_entered_late_takes_its_right_place(swap: bool) -> None:
    new = reading(290, seq=1, what="room")
    late = reading(310, seq=2, what="room", happened=START - 7 * 60_000, known="said")
    events = [late, new] if swap else [new, late]
    assert fold(SHEET, events)["latest"] == {"room": 29_000}
    assert fold(SHEET, events)["values"]["room"]["count"] == 2


def test_reopened_wins_over_a_done_that_had_not_seen_it_and_stays_open_for_a_person() -> None:
    done = made("step_done", {}, step="off", seq=1)
    undone = made("step_undone", {"target": "kettle0:1"}, step="off", seq=2)
    unseen = made("step_done", {}, step="off", device="table00", seq=5)
    state = fold(SHEET, [done, undone, unseen])
    assert state["steps"]["off"]["state"] == "reopened"
    assert [c["refs"] for c in state["conflicts"]] == [["kettle0:2", "table00:5"]]
    settled = made("step_done", {"after": "kettle0:2"}, step="off", device="table00", seq=6)
    state = fold(SHEET, [done, undone, unseen, settled])
    assert (state["steps"]["off"]["state"], state["conflicts"]) == ("done", [])


def test_two_people_finish_one_step_and_both_stand_there_the_earliest_first() -> None:
    late = made("step_done", {}, step="off", seq=1, by="maren")
    early = made("step_done", {}, step="off", device="table00", seq=9, by="tobit", happened=START)
    step = fold(SHEET, [late, early])["steps"]["off"]
    assert (step["by"], [other["by"] for other in step["also"]]) == ("tobit", ["maren"])


def test_two_corrections_of_one_reading_wait_for_a_person() -> None:
    events = [
        reading(1523, seq=1),
        reading(1513, seq=2, instead_of="kettle0:1"),
        reading(1533, seq=3, device="table00", instead_of="kettle0:1"),
    ]
    assert [c["kind"] for c in fold(SHEET, events)["conflicts"]] == ["two_corrections"]
    settled = [*events, made("struck", {"target": "table00:3"}, seq=4)]
    state = fold(SHEET, settled)
    assert (state["conflicts"], state["latest"]["peak"]) == ([], 151_300)


def test_an_impossible_reading_is_kept_but_not_used() -> None:
    state = fold(SHEET, [reading(1490, d=1, seq=1)])
    assert state["values"] == {}
    assert state["unfiled"] == [{"ref": "kettle0:1", "reason": "high"}]


def test_an_event_of_a_newer_app_is_kept_and_counted() -> None:
    assert fold(SHEET, [made("sang", {})])["unread"] == ["kettle0:1"]
    assert fold(SHEET, [made("note_written", {"text": "x"}, v=2)])["unread"] == ["kettle0:1"]


def test_a_step_done_without_its_reading_leaves_it_owed_until_it_is_taken() -> None:
    done = made("step_done", {}, step="off", seq=1)
    assert [o["key"] for o in fold(SHEET, [done])["owed"]] == ["off:peak"]
    assert fold(SHEET, [done, reading(1500, seq=2)])["owed"] == []


def test_lighting_with_open_stop_items_is_true_and_kept_by_name() -> None:
    lit = made("step_done", {}, step="light", seq=2)
    assert fold(SHEET, [lit])["off"][0]["what"] == "tub,water"
    tub = made("step_done", {}, step="tub", seq=1)
    assert fold(SHEET, [lit, tub])["off"][0]["what"] == "water"


def test_a_reading_outside_its_check_went_off_and_can_be_mended() -> None:
    off = fold(SHEET, [reading(1523, seq=1)])["off"]
    assert [(o["id"], o["value"]) for o in off] == [("check:peak_off", 3300)]
    mended = made("mended", {"id": "check:peak_off", "text": "close by 12:00"}, seq=2)
    assert fold(SHEET, [reading(1523, seq=1), mended])["off"][0]["mended"]["by"] == "maren"


def test_the_boil_has_one_name_and_two_who_took_it_unseen_are_shown() -> None:
    opened = made("batch_opened", {"sheet": "h", "lead": "maren"}, seq=1)
    tobit = made("boil_taken", {"from": "maren"}, by="tobit", seq=2)
    greta = made("boil_taken", {"from": "maren"}, by="greta", device="table00", seq=3)
    state = fold(SHEET, [opened, tobit, greta])
    assert state["lead"]["by"] == "greta"
    assert [c["kind"] for c in state["conflicts"]] == ["two_took"]
    settled = made("boil_taken", {"from": "greta"}, by="maren", seq=4)
    assert fold(SHEET, [opened, tobit, greta, settled])["conflicts"] == []


@pytest.mark.parametrize(("glance_only", "holder"), [(0, "greta"), (1, "maren")])
def test_a_full_handover_passes_the_boil_and_a_glance_does_not(
    glance_only: int, holder: str
) -> None:
    events = [
        made("batch_opened", {"sheet": "h", "lead": "maren"}, seq=1),
        made("handover_offered", {"to": "greta", "glance": glance_only}, seq=2),
        made("handover_taken", {"target": "kettle0:2", "questions": "none"}, by="greta", seq=3),
    ]
    assert fold(SHEET, events[:2])["offer"]["to"] == "greta"
    state = fold(SHEET, events)
    assert (state["lead"]["by"], state["offer"]) == (holder, None)


def test_an_opening_with_a_clock_ahead_takes_the_boil_from_nobody() -> None:
    taken = made("boil_taken", {"from": "maren"}, by="greta", seq=1)
    opened = made("batch_opened", {"sheet": "h", "lead": "maren"}, device="office0", seq=900)
    assert fold(SHEET, [taken, opened])["lead"]["by"] == "greta"


def test_nobody_can_not_have_the_boil() -> None:
    opened = made("batch_opened", {"sheet": "h", "lead": "maren"}, seq=1)
    nobody = made("boil_taken", {"from": "maren"}, by="", seq=2)
    tobit = made("boil_taken", {"from": "maren"}, by="tobit", seq=3)
    assert fold(SHEET, [opened, nobody])["lead"]["by"] == "maren"
    state = fold(SHEET, [opened, nobody, tobit])
    assert (state["lead"]["by"], state["lead"]["from"]) == ("tobit", "maren")
    assert state["conflicts"] == []


def test_cards_date_their_values_and_call_old_ones_stale() -> None:
    events = [made("batch_opened", {"sheet": "h", "lead": "maren"}, seq=1), reading(1500, seq=2)]
    state = fold(SHEET, events)
    hot = card(SHEET, state, START + 2000 + 6 * 60_000)["hot"]
    old = {"value": 150_000, "age": 360_000, "stale": 1}
    assert hot == [{"station": "kettle", "what": "peak", **old}]
    assert glance(SHEET, state, START)["lead"] == "maren"
    # What a station read is no longer hot there once all its work is done.
    steps = SHEET["stations"][0]["steps"]
    done = [made("step_done", {}, seq=3 + n, step=step) for n, step in enumerate(steps)]
    assert card(SHEET, fold(SHEET, [*events, *done]), START)["hot"] == []


def test_the_state_is_whole_numbers_and_text_only() -> None:
    text = json.dumps(fold(SHEET, history(7, 60)))
    assert json.loads(text, parse_float=pytest.fail) == fold(SHEET, history(7, 60))
