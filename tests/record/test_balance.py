"""Where every gram of the invented boil went, and how sure the rest is."""

from math import isqrt
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from shop.record.balance import came_in, rest_of
from tests.record.demo_record import MASSES, demo_events, demo_record, record_of, weighed

GRAMS = st.dictionaries(st.sampled_from(MASSES), st.integers(0, 900), max_size=6)


def test_the_invented_boil_closes_to_a_hundredth_of_a_kilogram() -> None:
    """Job analysis, section 8: unaccounted 0.01 kg, yield 88.7 % of the log."""
    record = demo_record()
    balance = record["mass_balance"]
    assert balance["missing"] == []
    assert round(balance["unaccounted"] / 1e6, 2) == 0.01
    assert round(record["yield"] / 1e4, 1) == 88.7


def test_the_way_from_the_charge_ends_at_the_log() -> None:
    balance = demo_record()["mass_balance"]
    before = {line["id"]: line["mg"] * line["sign"] for line in balance["before"]}
    assert before["charge"] == 14_370_000
    assert sum(before.values()) == came_in(balance) == 10_930_000
    # Of the charge's water only the moisture stays: 14.37 kg become about 11 (section 0).
    assert -3_400_000 < before["boiled_off"] < -3_250_000


def test_the_rest_is_as_sure_as_the_scales_let_it_be() -> None:
    """JCGM 100:2008, F.2.2.1 (from memory): u = δ/√12 for a step δ; squares add; twice that.

    By hand: the log in steps of 10 g, six weights of 1 g, and 95 bags at a mean of 1 g steps.
    """
    by_hand = isqrt((10_000**2 + 6 * 1_000**2 + 95_000**2) // 3)
    assert demo_record()["mass_balance"]["doubt"] == by_hand == 55_169


def test_what_was_not_weighed_leaves_no_rest_and_is_named() -> None:
    events = [e for e in weighed({}) if e["body"].get("what") != "dust"]
    balance = record_of(events)["mass_balance"]
    assert (balance["unaccounted"], balance["doubt"]) == (None, None)
    assert balance["missing"] == ["Dust and chips"]


def test_scrap_that_was_melted_in_comes_in_before_the_log() -> None:
    """Common practice, no source: rework is a part of the charge, at most 5 to 10 % of it."""
    without, with_it = (record_of(demo_events(), melted) for melted in (0, 700_000))
    assert [line["id"] for line in with_it["mass_balance"]["before"]][:2] == ["charge", "scrap"]
    assert _left(with_it) == _left(without) + 700_000
    assert with_it["yield"] == without["yield"]


def _left(record: dict[str, Any]) -> int:
    lines = {line["id"]: line["mg"] for line in record["mass_balance"]["before"]}
    return int(lines["left"])


@given(GRAMS, st.integers(0, 120), st.integers(0, 1_400_000))
@settings(max_examples=40, deadline=None)
def test_nothing_appears_or_is_lost(grams: dict[str, int], bags: int, melted: int) -> None:
    balance = record_of(weighed(grams, bags), melted)["mass_balance"]
    assert rest_of(balance["lines"]) == balance["unaccounted"]
    outs = sum(line["mg"] for line in balance["lines"] if line["sign"] < 0)
    assert outs + balance["unaccounted"] == came_in(balance)
    steps = sum(line["mg"] * line["sign"] for line in balance["before"])
    assert steps == came_in(balance)
