"""What one boil says of each number: the invented day by hand, and what is left out and why."""

import math
import re
from collections.abc import Callable
from typing import Any

import pytest
from scipy.stats import norm

from shop.demo.scenario import when
from shop.lessons.told import Said, told
from shop.record.fold import fold
from tests.lessons.simulated import Event, demo_events, demo_state, sheet

AREAS = {"white": 12_129, "light": 1_916, "clear": 2_714 + 792 + 120}


def of_the_demo(lesson: str) -> Said:
    said = told(sheet(), demo_state())[lesson]
    assert isinstance(said, Said), said
    return said


def test_this_kettle_gains_07_kelvin_in_15_seconds_at_the_end() -> None:
    """12.3 °C in 270 s, from 140 °C at 11:22:00 to 152.3 °C at 11:26:30."""
    said = of_the_demo("late_rise")
    assert said.value == pytest.approx(12_300 / 270 * 15)
    assert said.value == pytest.approx(700, abs=30)


def test_the_log_was_lighter_than_planned_as_its_rod_stub_said() -> None:
    """Log 10.93 kg, 477 mm, girth 474 mm: 1282 kg/m³ by geometry, 1290 by the crew's rod stub."""
    said = of_the_demo("white_density")
    log = 10.93 / (0.477 * 0.474**2 / 4 / math.pi)
    others = (1300 * AREAS["light"] + 1450 * AREAS["clear"]) / 1000
    white = (log * sum(AREAS.values()) / 1000 - others) / AREAS["white"] * 1000
    assert said.value / 1000 == pytest.approx(white, rel=1e-6)
    mean = (said.value / 1000 * AREAS["white"] + others * 1000) / sum(AREAS.values())
    assert mean == pytest.approx(1290, abs=3 * said.sd / 1000)
    assert mean == pytest.approx(1290, rel=0.01)


@pytest.mark.parametrize(
    ("lesson", "by_hand"),
    [
        ("head_share", 340 / 10_930 * 1e6),
        ("tail_share", 410 / 10_930 * 1e6),
        ("dust_share", 326 / (10_930 - 340 - 410) * 1e6),
        ("table_plastic", 8 * 60_000),  # poured 11:27:00, turned 11:35:00, table at 31 °C
        ("pull_time", 7 * 60_000),
        ("close_time", 3 * 60_000),
        ("rod_interval", (when("12:36:10") - when("12:06:10")) / 35),
        ("zone", when("12:58:00") - when("10:55:00")),
        ("strokes", 115 / (1 + 0.06 * 4.32)),  # overcook as the sheet reckons it
        ("thermometer", 99_100 - 99_494),  # IAPWS R7-97 at 996 hPa: about 99.5 °C
    ],
)
def test_the_invented_day_by_hand(lesson: str, by_hand: float) -> None:
    assert of_the_demo(lesson).value == pytest.approx(by_hand, rel=1e-6, abs=1)


def test_what_stayed_on_the_iron_is_unsure_as_the_moisture_is() -> None:
    """About 1.5 %, and 0.25 % of doubt that no number of boils takes away."""
    said = of_the_demo("table_loss")
    assert said.value == pytest.approx(15_000, abs=3 * math.hypot(said.sd, said.shared))
    assert said.shared == 2_500


def another(make: Callable[[list[Event]], None]) -> dict[str, Said | str]:
    """What the invented day says with its events changed."""
    events = demo_events()
    make(events)
    return told(sheet(), fold(sheet(), events))


def reading(events: list[Event], what: str) -> Event:
    return next(e for e in events if e["kind"] == "reading_taken" and e["body"].get("what") == what)


def more(like: Event, seq: int, **changed: Any) -> Event:
    at = like["hlc"][0] + 60_000
    moved = {"recorded": at, "happened": at, "hlc": [at, 0]}
    return {**like, "device": "roller0", "seq": 900 + seq, **moved, **changed}


def strike(event: Event, seq: int) -> Event:
    target = f"{event['device']}:{event['seq']}"
    place = {key: value for key, value in event.items() if key not in ("nth", "step", "station")}
    return more(place, seq, kind="struck", body={"target": target, "reason": "wrong"})


def test_a_struck_reading_changes_nothing() -> None:
    def make(events: list[Event]) -> None:
        head = reading(events, "head")
        wrong = more(head, 1, body={**head["body"], "n": 900})
        events += [wrong, strike(wrong, 2)]

    assert another(make) == told(sheet(), demo_state())


def test_a_reading_that_only_was_struck_is_left_out_and_nothing_else_is() -> None:
    def make(events: list[Event]) -> None:
        events.append(strike(reading(events, "tail"), 2))

    said, before = another(make), told(sheet(), demo_state())
    assert said["tail_share"] == "Tail: not on the record."
    assert said["dust_share"] == "Tail: not on the record."
    same = set(before) - {"tail_share", "dust_share"}
    assert {key: said[key] for key in same} == {key: before[key] for key in same}


def test_what_could_not_be_filed_is_left_out_and_told() -> None:
    def make(events: list[Event]) -> None:
        body = reading(events, "tail")["body"]
        body["n"] = 9_000_000

    assert another(make)["tail_share"] == "Tail: not on the record (1 couldn't be filed)."


def test_a_reading_two_people_corrected_waits_until_they_settle_it() -> None:
    def make(events: list[Event]) -> None:
        head = reading(events, "head")
        ref = f"{head['device']}:{head['seq']}"
        for seq, n in ((1, 350), (2, 360)):
            events.append(more(head, seq, body={**head["body"], "n": n, "instead_of": ref}))

    assert re.match("Head binned: two people", str(another(make)["head_share"]))


@pytest.mark.parametrize(
    ("what", "n", "lesson", "why"),
    [
        ("tail", 4_500, "tail_share", "Far outside the range"),
        ("whiteness", 3, "strokes", "The white came out below 4 of 5"),
        ("peak", 1_395, "late_rise", "Less than half a minute, or nothing gained"),
    ],
)
def test_a_reading_that_can_not_count_says_why(what: str, n: int, lesson: str, why: str) -> None:
    def make(events: list[Event]) -> None:
        reading(events, what)["body"]["n"] = n

    assert str(another(make)[lesson]).startswith(why)


def test_a_trial_rod_counts_before_the_log() -> None:
    """The rod's own doubt: 1 g steps on some 19 g, so about a sixtieth."""

    def make(events: list[Event]) -> None:
        body = {"what": "white_density", "n": 1220, "d": 1, "unit": "kg/m3"}
        body |= {"instrument": "bench-scale", "how": "scale and gauge"}
        events.append(more(reading(events, "head"), 1, station="hook", body=body))

    said = another(make)["white_density"]
    assert isinstance(said, Said)
    assert (said.value, said.shared) == (1_220_000, 0)
    assert said.sd / said.value == pytest.approx(1 / 65, rel=0.1)


def test_pressed_the_wrong_way_round_says_nothing() -> None:
    def make(events: list[Event]) -> None:
        event = next(e for e in events if e.get("step") == "hook.pull")
        event["happened"] = when("11:30:00")

    assert str(another(make)["pull_time"]).startswith("Pressed in the wrong order")


def test_a_press_said_afterwards_is_less_sure() -> None:
    def make(events: list[Event]) -> None:
        event = next(e for e in events if e.get("step") == "cool.turn")
        event["known"] = "said"

    said = another(make)["table_plastic"]
    assert isinstance(said, Said)
    assert said.sd > 2 * of_the_demo("table_plastic").sd


def test_days_that_scatter_say_twice_their_scatter_on_average() -> None:
    """Days at the quantiles of a normal about the sheet's own plan, 10 min wide."""
    state, found = demo_state(), []
    planned = next(n["value"] for n in sheet()["numbers"] if n["id"] == "zone")
    for i in range(1, 200):
        off = norm.ppf(i / 200) * 600_000
        state["steps"]["cut.last"]["at"] = round(when("10:55:00") + planned + off)
        said = told(sheet(), state)["spread"]
        assert isinstance(said, Said)
        found.append(said.value)
    assert sum(found) / len(found) == pytest.approx(2 * 600_000, rel=0.02)
