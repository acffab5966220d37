"""Colours on a label, by place. Sources beside each."""

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from shop.labels.places import place
from tests.labels.asked import answer, problems, text
from tests.labels.pantry import (
    CARMINE,
    CERTIFIED,
    MAIZE,
    SUNSET,
    TARTRAZINE,
    WHITE,
    ingredient,
    made,
)

EUROPE = ("EU", "GB", "NI")
# The six of Regulation (EC) 1333/2008, Annex V, as the reference table has them.
SIX = {
    row["E"]: row["name"]
    for row in csv.DictReader(
        Path(__file__).with_name("colours.csv").read_text("utf-8").splitlines()
    )
    if row["EU_child_warning"] == "yes"
}


def test_the_six_colours_of_annex_v_carry_the_warning_and_no_others() -> None:
    assert sorted(SIX) == ["E102", "E104", "E110", "E122", "E124", "E129"]
    for where in EUROPE:
        assert set(place(where).colours["warned"]) == set(SIX)
    assert place("US").colours["warned"] == []


@pytest.mark.parametrize("where", EUROPE)
def test_tartrazine_and_sunset_yellow_are_named_and_warned_of(where: str) -> None:
    label = answer(made(MAIZE, TARTRAZINE, SUNSET), where).label
    assert label is not None
    assert "colours (sunset yellow, tartrazine)" in text(made(MAIZE, TARTRAZINE, SUNSET), where)
    # Wording of Annex V, from memory.
    assert label["warnings"] == [
        "Sunset yellow and tartrazine: may have an adverse effect on activity and attention "
        "in children."
    ]


def test_a_us_label_needs_the_certified_name_and_gives_it() -> None:
    # 21 CFR 101.22(k)(1): certified colours by name. 21 CFR 80: every lot certified.
    assert "Yellow 5" in text(made(MAIZE, CERTIFIED), "US")
    assert "no certified US name" in problems(made(MAIZE, TARTRAZINE), "US")
    red = ingredient("colour", "Red 3", 100, label="erythrosine", certified="FD&C Red No. 3")
    assert "15 January 2027" in problems(made(MAIZE, red), "US")


def test_other_colours_in_the_us_are_artificial_and_carmine_has_its_name() -> None:
    # 21 CFR 101.22(k)(2) and 73.100(d)(2): from memory.
    turmeric = ingredient("colour", "Turmeric", 100, label="curcumin", number="E 100")
    assert text(made(MAIZE, turmeric, CARMINE), "US").endswith("carmine, artificial color")
    named = replace(turmeric, facts={**turmeric.facts, "certified": "turmeric"})
    assert text(made(MAIZE, named), "US").endswith("turmeric color")
    assert "colours (carmine, curcumin)" in text(made(MAIZE, turmeric, CARMINE), "EU")


def test_titanium_dioxide_by_place() -> None:
    # Regulation (EU) 2022/63 (EU and NI); 21 CFR 73.575, at most 1 %; GB's list keeps it.
    for where in ("EU", "NI"):
        assert "2022/63" in problems(made(MAIZE, WHITE), where)
    assert "titanium dioxide" in text(made(MAIZE, WHITE), "GB")
    assert "artificial color" in text(made(MAIZE, WHITE), "US")
    # 1 % of 11.17 kg is 111.7 g.
    for grams, fits in ((111, True), (112, False)):
        much = made(MAIZE, replace(WHITE, mg=grams * 1000))
        assert (answer(much, "US").label is not None) is fits


def test_a_colour_over_its_limit_is_refused_and_its_strength_counts() -> None:
    # Regulation (EU) 232/2012: E 110 at most 35 mg/kg; 11.17 kg hold at most 391 mg.
    over = replace(SUNSET, mg=500)
    assert "at most 35 mg" in problems(made(MAIZE, over), "EU")
    weak = replace(over, facts={**over.facts, "strength_ppm": 700_000})
    assert answer(made(MAIZE, weak), "EU").problems == ()


def test_group_three_counts_together() -> None:
    # 300 mg/kg together (category 05.2, from memory): 2 g and 2 g in 11.17 kg are 358 mg/kg.
    yellow = replace(TARTRAZINE, mg=2000, facts={**TARTRAZINE.facts, "strength_ppm": 1_000_000})
    red = replace(CARMINE, mg=2000)
    assert answer(made(MAIZE, yellow), "EU").problems == ()
    assert "carmine and tartrazine: 358 mg" in problems(made(MAIZE, yellow, red), "EU")


def test_a_colour_nobody_has_a_rule_for_holds_the_label_back() -> None:
    green = ingredient("colour", "Fast green", 100, label="fast green", number="E 143")
    assert "ask your authority" in problems(made(MAIZE, green), "GB")
    bare = ingredient("colour", "Some blue", 100, label="blue")
    assert "no E number" in problems(made(MAIZE, bare), "EU")
