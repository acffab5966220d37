"""Made again: what is scaled comes back, what is built otherwise keeps the section whole."""

import copy
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.demo.materials import for_sheet
from shop.demo.scenario import DAY, ORDER, PEOPLE, PICTURE, SHOP, SUGARS, demo_sheet, when
from shop.plan.again import Bags, as_built, bags_of, log_for, planned_figures
from shop.plan.differences import differences
from shop.plan.numbers import shop_numbers
from shop.plan.order import Day, Order
from shop.plan.sheet import build_sheet
from shop.plan.sheet_picture import picture_of

NUMBERS = shop_numbers({})
OLD = demo_sheet("demo-finished")
GRAM = 1_000
SCALED = (
    *("sugar_planned", "syrup_planned", "water_planned"),
    *("yellow_planned", "brown_planned", "wings_planned", "jacket_planned"),
)


def made(
    order: Order, old: dict[str, Any] | None = None, numbers: Any = NUMBERS, **day: Any
) -> dict[str, Any]:
    """The sheet that makes `old` again on the same day, with the same hands."""
    picture, sugars = picture_of(old or OLD)
    plain: dict[str, Any] = {
        **{"batch": "demo-finished", "lot": "L6329A", "letter": "A", "pattern": "stripe"},
        **{"day": DAY, "light_up": when("10:55"), "shift_end": when("12:30")},
        **{"people": PEOPLE, "crew": ("maren", "tobit", "isolde", "pim"), "lead": "maren"},
    }
    return build_sheet(
        order=order,
        picture=picture,
        day=Day(**{**plain, **day}),
        numbers=numbers,
        sugars=sugars,
        shop=SHOP,
        materials=for_sheet(),
    )


def test_the_log_of_the_invented_order_for_sixty_bags() -> None:
    """Section 8's sum, (N · 0.102 + 0.15) in proportion: 11.0 · 6.27 / 8.31 = 8.30 kg."""
    assert log_for(OLD, Bags(60, 100_000), NUMBERS) == pytest.approx(8_300_000, abs=5_000)


@given(packs=st.integers(1, 2000), fill=st.integers(10_000, 2_000_000))
def test_more_bags_never_take_a_smaller_log_and_half_as_many_never_half_of_what_is_set_aside(
    packs: int, fill: int
) -> None:
    logs = [log_for(OLD, Bags(n, fill), NUMBERS) for n in (packs, packs + 1)]
    assert logs[0] <= logs[1]
    assert log_for(OLD, bags_of(OLD), NUMBERS) == planned_figures(OLD)["log_mass_forecast"]


@settings(max_examples=8, deadline=None)
@given(st.integers(40, 180))
def test_scaled_there_and_back_every_mass_is_the_same_gram(packs: int) -> None:
    """k and then 1/k, and areas, rod and piece untouched on the way."""
    was = planned_figures(OLD)
    log = log_for(OLD, Bags(packs, 100_000), NUMBERS)
    there = made(replace(ORDER, packs=packs, log_mg=log))
    back_log = log_for(there, bags_of(OLD), NUMBERS)
    back = made(replace(ORDER, log_mg=back_log), there)
    now = planned_figures(back)
    for name in SCALED:
        assert abs((was[name] or 0) - (now[name] or 0)) <= 2 * GRAM, name
    areas = [[part["area_um2"] for part in sheet["parts"]] for sheet in (OLD, there, back)]
    assert areas[0] == areas[1] == areas[2]
    # One factor for all that is weighed: shares are those of before.
    scaled = planned_figures(there)
    factor = (scaled["sugar_planned"] or 0) / (was["sugar_planned"] or 1)
    for name in SCALED:
        assert (scaled[name] or 0) / (was[name] or 1) == pytest.approx(factor, rel=1e-4), name


def test_made_again_for_as_many_bags_it_is_the_same_sheet() -> None:
    log = log_for(OLD, bags_of(OLD), NUMBERS)
    assert log == pytest.approx(ORDER.log_mg, abs=2 * GRAM)
    again = made(ORDER)
    assert differences(OLD, again) == []
    assert again == OLD
    other_day = made(ORDER, batch="x", lot="L7001B", letter="B", day="2027-01-01")
    assert {(d.group, d.what) for d in differences(OLD, other_day)} == {
        ("Day and hands", "Make day"),
        ("Day and hands", "Letter"),
    }


def test_every_difference_is_named_and_nothing_else() -> None:
    told: dict[str, Callable[[], dict[str, Any]]] = {
        "Bags": lambda: made(replace(ORDER, packs=60)),
        "In a bag": lambda: made(replace(ORDER, fill_mg=90_000)),
        "Rod": lambda: made(replace(ORDER, rod_um=16_000)),
        "Piece": lambda: made(replace(ORDER, piece_um=11_000)),
        "Sugar to weigh": lambda: made(replace(ORDER, log_mg=9_000_000)),
        "Flavour": lambda: made(replace(ORDER, flavour="pear")),
        "Lead": lambda: made(ORDER, lead="greta"),
        "Crew": lambda: made(ORDER, crew=("maren", "tobit", "isolde")),
        "Lighting at": lambda: made(ORDER, light_up=when("10:40")),
        "Light by": lambda: made(ORDER, shift_end=when("16:30")),
        "Kept sample": lambda: made(ORDER, numbers={**NUMBERS, "retain_mass": 150_000}),
    }
    for what, make in told.items():
        new = make()
        found = differences(OLD, new)
        assert what in {d.what for d in found}, what
        assert all(d.was != d.now for d in found)
        back = {(d.group, d.what, d.now, d.was) for d in differences(new, OLD)}
        assert back == {(d.group, d.what, d.was, d.now) for d in found}


def changed(change: Callable[[dict[str, Any]], None]) -> dict[str, Any]:
    sheet = copy.deepcopy(OLD)
    change(sheet)
    return sheet


@pytest.mark.parametrize("key", sorted(set(OLD) - {"batch", "lot"}))
def test_whatever_is_another_on_a_sheet_is_told_somehow(key: str) -> None:
    """Even what no screen has a name for; only its id and lot are its own."""

    def other(sheet: dict[str, Any]) -> None:
        value = sheet[key]
        if isinstance(value, dict):
            first = next(iter(value))
            sheet[key] = (
                {**value, first: {**value[first], "x": 1}} if key in NESTED else {**value, "x": 1}
            )
        elif isinstance(value, list):
            sheet[key] = value[:-1] if key in WHOLE else value[::-1]
        else:
            sheet[key] = f"{value}1" if isinstance(value, str) else value + 1

    assert differences(OLD, changed(other)), key


NESTED = {"steps", "records"}
# Of one row, or alike from both sides.
WHOLE = {"people", "crew", "parts", "blocks", "stop_items", "graph", "numbers"}


def test_a_step_of_our_way_that_changed_came_or_went_is_told_in_its_words() -> None:
    def edit(sheet: dict[str, Any]) -> None:
        sheet["steps"]["cook.lid"] = {**sheet["steps"]["cook.lid"], "say": "Lid on, five minutes"}
        sheet["steps"]["pack.new"] = {**sheet["steps"]["pack.keep"], "say": "Count the boxes"}
        del sheet["steps"]["pack.phones"]

    found = {(d.what, d.was, d.now) for d in differences(OLD, changed(edit))}
    lid, phones = (OLD["steps"][key]["say"] for key in ("cook.lid", "pack.phones"))
    assert found == {
        (lid, lid, "Lid on, five minutes"),
        ("Step", None, "Count the boxes"),
        ("Step", phones, None),
    }


@given(
    st.permutations([block.id for block in PICTURE.blocks]),
    st.dictionaries(st.sampled_from(["yellow", "brown", "wings"]), st.integers(500_000, 2_000_000)),
)
def test_built_otherwise_the_section_is_as_large_and_every_block_is_there(
    blocks: list[str], ratios: dict[str, int]
) -> None:
    built = as_built(PICTURE, SUGARS, blocks, ratios)
    assert built.total == PICTURE.total
    assert [block.id for block in built.blocks] == blocks
    for portion in ("yellow", "brown", "wings"):
        share = built.area(portion) / PICTURE.area(portion)
        assert share == pytest.approx(ratios.get(portion, 1_000_000) / 1e6, abs=1e-6)
    assert built.area("jacket") == PICTURE.area("jacket")


def test_what_no_field_can_give_stays_as_drawn() -> None:
    built = as_built(PICTURE, SUGARS, [], {"yellow": 9_000_000})
    assert built.parts == PICTURE.parts
