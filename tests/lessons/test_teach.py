"""Offers: worth it, within the range, never loosening, and remembered when turned down."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.demo.scenario import PICTURE, SUGARS
from shop.lessons.belief import Held
from shop.lessons.catalogue import Lesson, data, lessons, looser
from shop.lessons.teach import BoilTold, Setting, Taught, Why, offered, teach
from shop.lessons.told import SAYS, Said, told
from shop.plan.numbers import defaults
from tests.lessons.simulated import demo_state, sheet

GUARDED = sorted(data()["looser"])


def test_everything_that_ends_in_limit_is_a_limit_here() -> None:
    limits = {key for key in defaults() if key.endswith(("_limit", "_suspect"))}
    assert limits <= set(GUARDED) <= set(defaults())
    assert set(data()["looser"].values()) == {"up", "down"}


def test_every_lesson_is_read_from_boils_and_held_with_a_doubt() -> None:
    assert set(lessons()) == set(SAYS)
    for lesson in lessons().values():
        assert lesson.doubt > 0, lesson.id
        assert lesson.low <= lesson.value <= lesson.high


def about(key: str) -> Lesson:
    number = defaults()[key]
    held = {"value": number.value, "doubt": 1, "low": number.low, "high": number.high}
    return Lesson(id=key, name=key, number=key, unit=number.unit, how="", **held)


@pytest.mark.parametrize("key", GUARDED)
@given(value=st.floats(0, 1), sure=st.floats(0.0001, 0.5), now=st.floats(0, 1))
@settings(max_examples=40, deadline=None)
def test_no_limit_or_caution_is_ever_offered_looser(
    key: str, value: float, sure: float, now: float
) -> None:
    """Whatever the boils say, and wherever in (or out of) its range."""
    lesson = about(key)
    wide = lesson.high - lesson.low
    at, sd = lesson.low + (3 * value - 1) * wide, sure * wide
    believed = Held(at, sd, at - 2 * sd, at + 2 * sd)
    setting = Setting(round(lesson.low + now * wide), lesson.value)
    offer, why = offered(lesson, believed, setting, boils=9)
    if offer is None:
        assert why in (Why.LOOSER, Why.AS_SET)
        return
    assert lesson.low <= offer <= lesson.high
    assert (offer > setting.now) == (looser(key) == "down")


def test_without_the_guard_the_same_would_be_offered() -> None:
    """So the guard is what holds it back: the same estimate of a plain number is offered."""
    shorter = Held(6_000_000, 60_000, 5_880_000, 6_120_000)
    setting = Setting(6_780_000, 6_780_000)
    assert offered(lessons()["zone"], shorter, setting, boils=9) == (None, Why.LOOSER)
    longer = Held(7_400_000, 60_000, 7_280_000, 7_520_000)
    assert offered(lessons()["zone"], longer, setting, boils=9) == (7_400_000, Why.OFFERED)
    plain = about("pull_time")
    assert offered(plain, Held(3e5, 1e4, 2.8e5, 3.2e5), Setting(360_000, 1), boils=9)[0] == 300_000


@given(value=st.floats(-1e7, 1e7))
@settings(max_examples=50, deadline=None)
def test_an_offer_stays_within_the_numbers_own_range(value: float) -> None:
    lesson = lessons()["head_share"]
    offer, _ = offered(lesson, Held(value, 10, value, value), Setting(50_000, 50_000), boils=3)
    assert offer is None or lesson.low <= offer <= lesson.high


def test_a_number_is_left_alone_while_the_boils_are_not_sure_enough() -> None:
    lesson, setting = lessons()["head_share"], Setting(30_000, 30_000)
    assert offered(lesson, Held(31_000, 2_500, 0, 1), setting, boils=3) == (None, Why.AS_SET)
    assert offered(lesson, Held(31_000, 500, 0, 1), setting, boils=3) == (31_000, Why.OFFERED)


def test_turned_down_until_the_boils_say_something_else() -> None:
    lesson, setting = lessons()["head_share"], Setting(30_000, 30_000, declined=33_000)
    again = Held(33_300, 500, 32_300, 34_300)
    assert offered(lesson, again, setting, boils=9) == (None, Why.DECLINED)
    moved = Held(36_000, 500, 35_000, 37_000)
    assert offered(lesson, moved, setting, boils=9) == (36_000, Why.OFFERED)


def the_demo() -> dict[str, Taught]:
    boil = BoilTold("demo-finished", "L6329A", told(sheet(), demo_state()))
    return {one.lesson.id: one for one in teach([boil], {})}


def test_the_demos_lesson_density_129_for_the_next_plan() -> None:
    """The log's mean density with the white that is offered: 1.29, as the crew's rod stub."""
    offer = the_demo()["white_density"].offer
    assert offer is not None
    sort = {sugar.id: sugar.treatment for sugar in SUGARS}
    density = {**{t: defaults()[f"{t}_density"].value for t in ("clear", "light")}, "white": offer}
    mass = sum(part.area_um2 * density[sort[part.portion]] for part in PICTURE.parts)
    mean = mass / sum(part.area_um2 for part in PICTURE.parts)
    assert mean == pytest.approx(1_290_000, abs=5_000)


def test_the_demos_kettle_and_thermometer_have_nothing_to_set() -> None:
    for lesson in ("late_rise", "thermometer"):
        assert (the_demo()[lesson].offer, the_demo()[lesson].why) == (None, Why.NOTHING_TO_SET)


def test_boils_left_out_are_named_with_why_and_widen_nothing_else() -> None:
    said = dict.fromkeys(lessons(), "Not on the record.")
    boils = [
        BoilTold("b1", "L1", {**said, "head_share": Said(31_000, 100)}),
        BoilTold("b2", "L2", said),
    ]
    taught = {one.lesson.id: one for one in teach(boils, {})}
    assert taught["head_share"].lots == ("L1",)
    assert taught["head_share"].left_out == (("L2", "Not on the record."),)
    assert taught["tail_share"].why == Why.NO_BOILS
    assert len(taught["tail_share"].left_out) == 2
