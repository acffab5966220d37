"""The log turned end for end: a half turn and another give the first picture back; every rod reads
from exactly one end."""

import random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.record.fold import fold
from shop.record.handover import card, spots
from shop.record.turns import reading_end, rod_ends
from tests.record.histories import SHEET, START
from tests.record.test_fold import made

Event = dict[str, Any]


def rods(n: int, *, seq: int, **more: Any) -> Event:
    return made("tally_counted", {"what": "rods", "add": n}, seq=seq, **more)


def turn(*, seq: int, after: str = "", **more: Any) -> Event:
    return made("log_turned", {"after": after} if after else {}, seq=seq, **more)


def test_from_the_next_rod_on_the_other_end_reads() -> None:
    state = fold(SHEET, [rods(11, seq=1), turn(seq=2), rods(3, seq=3)])
    assert state["reading_end_turned"] == 1
    assert [t["from_rod"] for t in state["turns"]] == [12]
    whole = card(SHEET, state, START)
    said = "dot; the other way round: rods 12 on"
    assert whole["now"]["reading_end"] == said
    assert {"ask": "reading_end", "answer": said} in spots(whole)


def test_a_turn_said_later_counts_from_when_it_happened() -> None:
    late = turn(seq=3, happened=START + 1500, known="said")
    state = fold(SHEET, [rods(11, seq=1), rods(3, seq=2), late])
    assert state["turns"][0]["from_rod"] == 12


def test_a_strike_gives_the_end_back() -> None:
    events = [rods(4, seq=1), turn(seq=2), made("struck", {"target": "kettle0:2"}, seq=3)]
    state = fold(SHEET, events)
    assert (state["reading_end_turned"], state["turns"]) == (0, [])
    assert card(SHEET, state, START)["now"]["reading_end"] == "dot"


@pytest.mark.parametrize("order", [0, 1])
def test_two_who_press_for_one_turn_tell_of_one(order: int) -> None:
    one, other = turn(seq=2), turn(seq=2, device="table00", by="tobit")
    both = [rods(5, seq=1), *((one, other) if order else (other, one))]
    state = fold(SHEET, both)
    assert state["reading_end_turned"] == 1
    assert state["turns"][0]["refs"] == ["kettle0:2", "table00:2"]
    # Turned back by somebody who knew of either press.
    for known in state["turns"][0]["refs"]:
        back = fold(SHEET, [*both, rods(2, seq=3), turn(seq=4, after=known)])
        assert back["reading_end_turned"] == 0
        assert reading_end(SHEET, back["turns"]) == "dot; the other way round: rods 6 to 7"


def test_it_calls_until_somebody_has_seen_either_press() -> None:
    events = [turn(seq=1), turn(seq=1, device="table00")]
    assert fold(SHEET, events)["turns"][0]["seen"] is None
    seen = made("seen", {"target": "table00:1"}, by="greta", seq=2)
    assert fold(SHEET, [*events, seen])["turns"][0]["seen"] == {"by": "greta", "at": START + 2000}
    other = made("seen", {"target": "table00:7"}, by="greta", seq=2)
    assert fold(SHEET, [*events, other])["turns"][0]["seen"] is None


@given(st.lists(st.integers(0, 9), max_size=8), st.randoms())
def test_every_rod_reads_from_exactly_one_end_and_each_turn_flips(
    drawn: list[int], chance: random.Random
) -> None:
    """So many rods, then a turn, and again."""
    events, after = [], ""
    for i, n in enumerate(drawn):
        if n:
            events.append(rods(n, seq=2 * i + 1))
        events.append(turn(seq=2 * i + 2, after=after))
        after = f"kettle0:{2 * i + 2}"
    chance.shuffle(events)
    state = fold(SHEET, events)
    assert state["reading_end_turned"] == len(drawn) % 2
    stretches = rod_ends(state["turns"])
    for rod in range(1, sum(drawn) + 5):
        holding = [s for s in stretches if s["from"] <= rod and (s["to"] or rod) >= rod]
        ends = [sum(n for n in drawn[: i + 1]) for i in range(len(drawn))]
        assert [s["turned"] for s in holding] == [sum(rod > end for end in ends) % 2]
