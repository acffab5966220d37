"""The training ladder as data, and what of it stands on a sheet."""

import copy
from dataclasses import replace
from typing import Any

import pytest

from shop.demo.scenario import ORDER, PEOPLE, PICTURE, SHOP, SUGARS, demo_sheet, when
from shop.plan.check_sheet import check_sheet
from shop.plan.errors import NumberWrong, SheetWrong
from shop.plan.numbers import defaults, shop_numbers
from shop.plan.order import Day, Person
from shop.plan.sheet import build_sheet
from shop.plan.skills import ladder

SHEET = demo_sheet("demo-planned")
# The order in which a hand is taught: common practice, no source.
TAUGHT = [
    *("dress", "pack", "roll", "hold", "cut", "pull"),
    *("colour", "squares", "spin", "cook-led", "cook", "accept"),
]
# What anybody may do: reading, wiping, clearing.
OPEN_TO_ALL = {
    *("setup.card", "setup.hazards", "setup.boiling-water", "setup.room", "setup.table"),
    *("setup.phone", "table.bars", "pack.clean", "pack.phones"),
}


def a_sheet(*people: Person) -> dict[str, Any]:
    """The demo's sheet with these people."""
    day = Day(
        batch="b",
        lot="L",
        letter="A",
        pattern="dot",
        day="2026-11-25",
        light_up=when("10:55"),
        shift_end=when("12:30"),
        people=people,
        crew=tuple(person.id for person in people),
        lead=people[0].id,
    )
    numbers = shop_numbers({})
    return build_sheet(
        order=ORDER, picture=PICTURE, day=day, numbers=numbers, sugars=SUGARS, shop=SHOP
    )


def test_the_twelve_rungs_in_the_order_they_are_taught() -> None:
    assert [skill.id for skill in ladder()] == TAUGHT
    assert SHEET["skills"] == [{"id": skill.id, "name": skill.name} for skill in ladder()]
    assert all(skill.name[0].isupper() for skill in ladder())


def test_the_blade_is_for_adults_after_the_guard_was_tested() -> None:
    """Common practice, no source; what young workers may do is the local law's to say."""
    cut = next(skill for skill in ladder() if skill.id == "cut")
    assert cut.only == "Adults only; the guard is tested first."


def test_twice_alone_and_sixty_days_away_are_the_shops_to_set() -> None:
    """Twice and 60 days: common practice, no source."""
    assert (defaults()["solo_times"].value, defaults()["rewatch_days"].value) == (2, 60)
    for name, wrong in (("solo_times", 0), ("rewatch_days", 366)):
        with pytest.raises(NumberWrong, match=str(wrong)):
            shop_numbers({name: wrong})


def test_every_step_but_the_open_ones_names_a_skill_of_the_ladder() -> None:
    without = {key for key, step in SHEET["steps"].items() if not step["skill"]}
    assert without == OPEN_TO_ALL
    assert {step["skill"] for step in SHEET["steps"].values()} - {""} <= set(TAUGHT)


def test_whatever_is_hot_needs_a_skill() -> None:
    hot = {key for key, step in SHEET["steps"].items() if step["band"]}
    assert hot
    assert [key for key in sorted(hot) if not SHEET["steps"][key]["skill"]] == []


def test_the_newcomer_has_neither_pulled_nor_spun_alone() -> None:
    solo = {person["id"]: person["solo"] for person in SHEET["people"]}
    assert {"pull", "spin"}.isdisjoint(solo["odo"])
    assert {"pull", "spin"} <= set(solo["tobit"])
    assert solo["maren"] == TAUGHT


def test_a_shop_that_keeps_no_ladder_says_nothing_of_anybody() -> None:
    kept, none_yet = PEOPLE[0], Person("ina", "Ina", "second hand")
    people = a_sheet(kept, none_yet, replace(none_yet, id="jo", solo=()))["people"]
    assert people[0]["solo"] == TAUGHT
    assert people[1] == {"id": "ina", "name": "Ina", "role": "second hand"}
    assert people[2]["solo"] == []


def test_a_skill_that_is_not_on_the_ladder_is_refused() -> None:
    with pytest.raises(SheetWrong, match=r"Person maren.*skill juggling"):
        a_sheet(replace(PEOPLE[0], solo=("juggling",)))
    broken = copy.deepcopy(SHEET)
    broken["steps"]["hook.pull"]["skill"] = "juggling"
    with pytest.raises(SheetWrong, match=r"Step hook\.pull.*skill juggling"):
        check_sheet(broken)
