"""The build of the demo's beehive as people get it: minutes, hands, what breaks or saves it."""

import itertools
from collections.abc import Mapping
from functools import cache
from typing import Any

import pytest

from shop.craft.errors import OutOfRange
from shop.picture.crew import Asked, Hand
from shop.picture.errors import HandsWrong
from shop.picture.saving import merged
from shop.picture.schedule import build, built
from shop.picture.work import Job, Work, job_of
from shop.plan.numbers import shop_numbers
from tests.picture.beehive import SECTION, beehive, one_bee

NUMBERS = shop_numbers({})
CREW = ("Maren", "Tobit", "Isolde", "Pim")
# A hot room with a draught: parts go to the board nearly too cold.
HURRIED = {**NUMBERS, "open_from": 80_000, "part_limit": 77_000, "heater_places": 1}


def crew(count: int) -> list[Hand]:
    return [Hand(name) for name in CREW[:count]]


@cache
def by(hands: int) -> dict[str, Any]:
    return build(beehive(), SECTION, crew(hands), NUMBERS, effort=1.0)


def test_two_hands_build_the_beehive_in_time() -> None:
    # job, sections 3.6 and 8: 25 parts, two builders, 24 minutes by the rule at 55 s a part; at the
    # shop's 52 s the rule says 23. ± 1.
    found = by(2)
    assert found["minutes"] == pytest.approx(24, abs=1)
    assert found["holds"]
    assert found["breaks"] == found["saves"] == []
    assert found["says"].startswith("25 parts, 2 hands: closed in 2")
    assert " min of 30; no build is over " in found["says"]


def test_the_rule_of_thumb_is_never_beaten_and_nearly_met() -> None:
    # Trade rule: parts × seconds / builders + pull + band and casing.
    for hands in (1, 2):
        rule = 25 * NUMBERS["part_time"] / hands
        rule = (rule + NUMBERS["pull_time"] + NUMBERS["close_time"]) / 60_000
        assert rule - 0.05 <= by(hands)["soonest_minutes"] <= rule + 0.2
        assert by(hands)["minutes"] <= by(hands)["soonest_minutes"] + 0.9


def test_more_hands_are_sooner_and_the_gap_is_told() -> None:
    minutes = [by(hands)["soonest_minutes"] for hands in (1, 2, 3, 4)]
    assert minutes == sorted(minutes, reverse=True)
    assert minutes[0] > 33
    assert by(1)["proof"] == "proven best"
    for hands in (1, 2, 3, 4):
        found = by(hands)
        assert (found["gap_s"] == 0) or found["proof"] == "only good"
        assert found["gap_s"] < 60


def test_whoever_cuts_a_part_lays_it_at_once() -> None:
    for work in by(2)["order"]:
        assert work["wait_s"] == 0
        assert work["hand"] == work["cut_hand"]


def test_every_hand_does_one_thing_at_a_time() -> None:
    for hands in (1, 2, 3, 4):
        busy: dict[str, list[tuple[int, int]]] = {name: [] for name in CREW[:hands]}
        for work in by(hands)["order"]:
            busy[work["cut_hand"]].append((work["start_s"], work["cut_end_s"]))
            busy[work["hand"]].append((work["lay_s"], work["end_s"]))
        for spells in busy.values():
            for (_, end), (start, _) in itertools.pairwise(sorted(spells)):
                assert end <= start


def test_nothing_is_laid_on_what_is_not_there_and_the_band_comes_last() -> None:
    found = by(3)
    laid: set[str] = set()
    ends = {work["name"]: work["end_s"] for work in found["order"]}
    for work in found["order"]:
        assert all(ends[below] <= work["lay_s"] for below in work["rests_on"])
        laid.add(work["name"])
    assert found["close"]["names"] == ["Band", "Casing"]
    assert found["close"]["start_s"] == max(ends.values())
    assert min(work["start_s"] for work in found["order"]) >= found["pull"]["end_s"] == 360
    assert all(work["slack_s"] >= 0 for work in found["order"])


def test_the_floor_ticks_five_to_seven_blocks_that_hold_every_part_once() -> None:
    blocks = by(2)["blocks"]
    assert 5 <= len(blocks) <= 7
    parts = [part for block in blocks for part in block["parts"]]
    assert parts == [work["part"] for work in by(2)["order"]]


def test_one_hand_is_too_slow_and_hears_what_would_help() -> None:
    found = by(1)
    assert not found["holds"]
    (broken,) = found["breaks"]
    assert broken["part"] == ""
    assert "too many for one hand" in broken["why"]
    ways = {way["kind"]: way for way in found["saves"]}
    assert ways["hand"]["saves"]
    assert ways["hand"]["minutes"] == pytest.approx(by(2)["soonest_minutes"], abs=0.2)
    assert ways["fewer"]["says"].startswith("5 fewer:")


def test_one_part_fewer_than_said_would_not_be_enough() -> None:
    # 25 parts take one hand 33.7 min; every part saves 52 s; five bring it under 30, four do not.
    job = job_of(beehive(), SECTION, NUMBERS)
    small = sorted(job.works, key=lambda work: (work.area_um2, work.id))
    for fewer, holds in ((4, False), (5, True)):
        asked = Asked(merged(job, [w.id for w in small[:fewer]]), tuple(crew(1)), NUMBERS)
        assert built(asked, 0.3)["holds"] is holds


def test_a_part_that_stops_sticking_is_named_with_what_would_save_it() -> None:
    found = build(beehive(), SECTION, crew(1), HURRIED, effort=0.5)
    assert found["breaks"]
    worst = found["breaks"][0]
    assert worst["part"] in {part.id for part in beehive()}
    assert "stops sticking" in worst["why"]
    kinds = {way["kind"] for way in found["saves"]}
    assert {"hand", "log under heater", "thicker"} <= kinds
    for way in found["saves"]:
        assert way["over_s"] < sum(b["over_s"] for b in found["breaks"]) or way["minutes"] < 33


def test_a_hand_that_comes_late_is_missed() -> None:
    late = [Hand("Maren"), Hand("Tobit", 1500)]
    found = build(beehive(), SECTION, late, NUMBERS, effort=0.5)
    assert not found["holds"]
    assert "Tobit from the start" in {way["says"] for way in found["saves"] if way["saves"]}
    assert all(w["lay_s"] >= 1500 for w in found["order"] if w["hand"] == "Tobit")


def test_what_is_made_once_is_drawn_before_its_copies_are_laid() -> None:
    parts, motifs = one_bee()
    found = build(parts, SECTION, crew(2), NUMBERS, motifs, effort=0.5)
    works: Mapping[str, dict[str, Any]] = {work["part"]: work for work in found["order"]}
    drawn = works["bee-drawing"]["end_s"]
    assert works["bee-drawing"]["end_s"] - works["bee-drawing"]["lay_s"] == 180
    assert all(works[part]["end_s"] <= works["bee-drawing"]["lay_s"] for part in motifs[0].parts)
    assert all(works[copy]["lay_s"] >= drawn for copy in ("bee-1", "bee-2"))


def test_hands_and_parts_have_limits() -> None:
    with pytest.raises(OutOfRange, match="hands is 5 1; the schedule of one log holds from 1 to 4"):
        build(beehive(), SECTION, [*crew(4), Hand("Greta")], NUMBERS)
    with pytest.raises(OutOfRange, match="parts is 0"):
        build((), SECTION, crew(2), NUMBERS)
    with pytest.raises(HandsWrong, match="Two hands are called Maren"):
        build(beehive(), SECTION, [Hand("Maren"), Hand("Maren")], NUMBERS)


def test_a_chain_of_parts_is_told_and_standing_on_its_head_may_help() -> None:
    chained, loose = (
        Job(tuple(_brick(n, under=n - 1 if chain and n else None) for n in range(20)))
        for chain in (True, False)
    )
    numbers = {**NUMBERS, "build_limit": 1_300_000}
    found = built(Asked(chained, tuple(crew(2)), numbers, upside_down=loose), 0.5)
    assert found["breaks"][0]["why"].startswith("20 parts from Brick 0 to Brick 19 lie one on")
    (way,) = [way for way in found["saves"] if way["kind"] == "upside down"]
    assert way["saves"]


def _brick(number: int, under: int | None) -> Work:
    below = frozenset() if under is None else frozenset({f"b{under}"})
    given = (f"b{number}", f"Brick {number}", "white", "bar", 21, 31, 20_000, 40_000, 10**8)
    return Work(*given, below)
