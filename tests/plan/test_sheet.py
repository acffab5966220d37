"""The sheet: complete, referring only to itself, frozen by its hash, short enough to read."""

import copy
import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.demo.scenario import ORDER, PICTURE, SUGARS, demo_sheet
from shop.plan.canonical import canonical
from shop.plan.check_sheet import check_sheet
from shop.plan.errors import NumberWrong, OrderWrong, SheetWrong
from shop.plan.numbers import shop_numbers
from shop.plan.order import check_order
from shop.plan.picture import mirrored
from shop.plan.sheet import charge_for, sheet_hash
from shop.plan.sheet_picture import picture_of, portions_of
from shop.record.fold import fold
from shop.record.steps import station_view

SHEET = demo_sheet("demo-planned")
HEADINGS = {
    *("set-up", "cook", "colour", "cool", "aerate"),
    *("assemble", "size", "cut", "pack-and-clean"),
}
# Hot sugar is met at every step of these headings but the ones named here.
COLD = {"cook.load", "cook.light", "table.bars", "cut.sieve"}

values = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=20,
)


def test_all_nine_headings_and_seven_stations_have_work() -> None:
    assert {step["heading"] for step in SHEET["steps"].values()} == HEADINGS
    assert all(station["steps"] for station in SHEET["stations"])
    assert len(SHEET["stations"]) == 7
    assert len(SHEET["steps"]) >= 70


@pytest.mark.parametrize("step", SHEET["steps"], ids=str)
def test_a_step_can_be_read_in_two_seconds(step: str) -> None:
    words = SHEET["steps"][step]
    assert 1 <= len(words["say"].split()) <= 8, words["say"]
    assert 1 <= len(words["call"].split()) <= 3, words["call"]
    assert words["cue"]


def test_every_step_from_the_boil_to_the_last_cut_names_its_heat() -> None:
    hot = ("cook", "colour", "cool", "aerate", "assemble", "size", "cut")
    steps = {k: s for k, s in SHEET["steps"].items() if s["heading"] in hot and k not in COLD}
    assert [key for key, step in steps.items() if not step["band"]] == []


def test_stop_items_are_the_nine_and_those_added() -> None:
    assert len(SHEET["stop_items"]) == 11
    assert {"setup.boiling-water", "setup.tub", "setup.guard", "setup.gas", "setup.help"} <= set(
        SHEET["stop_items"]
    )


def test_every_step_can_be_reached_by_doing_what_comes_before() -> None:
    """Playing each station's next step whenever nothing is waited for ends with nothing left."""
    state = fold(SHEET, [])
    for _ in SHEET["steps"]:
        views = [station_view(SHEET, state, s["id"]) for s in SHEET["stations"]]
        ready = [view["now"] for view in views if view["now"] and not view["waits_for"]]
        for key in ready:
            state["steps"][key] = {"state": "done"}
    assert all(key in state["steps"] for key in SHEET["steps"])


@pytest.mark.parametrize(
    ("where", "value", "said"),
    [
        (("steps", "cook.light", "after"), ["cook.dance"], "step cook.dance"),
        (("steps", "cook.light", "number"), "warmth", "figure warmth"),
        (("steps", "cook.light", "record"), ["mood"], "record mood"),
        (("records", "peak", "target"), "hope", "figure hope"),
        (("lead",), "nobody", "person nobody"),
        (("balance", 0, "figure"), "luck", "figure luck"),
        (("checks", 0, "low"), "ground", "figure ground"),
        (("graph", 5, "op"), ["sum", ["later", 1]], "figure later"),
    ],
)
def test_a_loose_end_is_named(where: tuple[str | int, ...], value: object, said: str) -> None:
    sheet = copy.deepcopy(SHEET)
    *path, last = where
    place: Any = sheet
    for key in path:
        place = place[key]
    place[last] = value
    with pytest.raises(SheetWrong, match=said):
        check_sheet(sheet)


def test_the_same_plan_has_the_same_name_and_any_change_another() -> None:
    assert sheet_hash(SHEET) == sheet_hash(demo_sheet("demo-planned"))
    changed = copy.deepcopy(SHEET)
    changed["order"]["packs"] += 1
    assert sheet_hash(changed) != sheet_hash(SHEET)


@given(values)
def test_canonical_text_returns_and_does_not_depend_on_the_order_of_keys(value: object) -> None:
    text = canonical(value)
    assert json.loads(text) == value
    assert canonical(json.loads(text)) == text


def test_canonical_keys_stand_in_the_order_of_rfc_8785() -> None:
    # RFC 8785, section 3.2.3: sorted by UTF-16 code unit, so U+1F600 comes before U+FB33.
    keys = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    wanted = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]
    assert list(json.loads(canonical(dict.fromkeys(keys, 0)))) == wanted


@pytest.mark.parametrize("value", [1.5, 2**53, {1: "a"}, float("nan")])
def test_canonical_refuses_what_another_language_would_read_otherwise(value: object) -> None:
    with pytest.raises((TypeError, AttributeError)):
        canonical(value)


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("packs", 0, "from 1 to 2000"),
        ("rod_um", 50_000, "from 8000 to 40000"),
        ("log_mg", -1, "from 3000000"),
        ("fill_mg", 1, "from 10000"),
    ],
)
def test_an_order_outside_the_limits_is_refused_by_name(field: str, value: int, said: str) -> None:
    given: dict[str, Any] = {field: value}
    with pytest.raises(OrderWrong, match=f"{field} is {value}.*{said}"):
        check_order(replace(ORDER, **given))


def test_a_shop_number_outside_its_range_is_refused_by_name() -> None:
    with pytest.raises(NumberWrong, match="Take-off temperature at sea level is 1490000 m°C"):
        shop_numbers({"take_off_sea_level": 1_490_000})


@given(st.integers(3_000_000, 25_000_000))
def test_the_charge_grows_in_proportion_to_the_log(log: int) -> None:
    numbers = shop_numbers({})
    portions = portions_of(PICTURE, SUGARS, numbers)
    one, more = charge_for(log, numbers, portions), charge_for(2 * log, numbers, portions)
    assert all(abs(2 * one[part] - more[part]) <= 2 for part in one)


def test_making_it_again_has_the_same_picture() -> None:
    assert picture_of(SHEET) == (PICTURE, SUGARS)


def test_the_mirror_of_a_mirror_is_the_picture_and_the_demo_is_its_own() -> None:
    shapes = [shape for part in PICTURE.parts for shape in part.shapes]
    assert [mirrored(mirrored(shape)) for shape in shapes] == shapes

    def places(found: list[dict[str, Any]]) -> list[str]:
        return sorted(
            str(sorted(map(tuple, s["points"])) if "points" in s else (s["x"], s["y"], s["r"]))
            for s in found
        )

    assert places(shapes) == places([mirrored(shape) for shape in shapes])
