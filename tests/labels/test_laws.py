"""What holds of every label, whatever went into the boil."""

import json
from dataclasses import replace
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from shop.labels.allergens import allergens_of
from shop.labels.ingredients import list_of
from shop.labels.label import label_text, make_label
from shop.labels.places import PLACES, Place, every_allergen, place
from shop.record.made import Composition, Ingredient, composition_hash
from tests.labels.pantry import BOIL, LINES, SUGAR, ingredient

WHERE = st.sampled_from([place(name) for name in PLACES])
# Letters that spell no allergen, so that a word stands out only because it was told.
NAMES = st.text("qxz", min_size=3, max_size=9)
WORDS = st.lists(st.sampled_from(sorted(every_allergen() - {"sulphites"})), max_size=3)


@st.composite
def materials(draw: st.DrawFn) -> list[Ingredient]:
    """Different materials, weighed but for fat and oil."""
    found = []
    for name in draw(st.lists(NAMES, min_size=1, max_size=6, unique=True)):
        kind = draw(st.sampled_from(["syrup", "acid", "flavour", "slab", "foam"]))
        mg = None if kind in ("slab", "foam") else draw(st.integers(1, 3_000_000))
        found.append(ingredient(kind, name, mg, label=name, allergens=draw(WORDS)))
    return [SUGAR, *found]


def strong(runs: list[list[Any]]) -> list[str]:
    return [text for text, stands_out in runs if stands_out]


def told(of: list[Ingredient], where: Place) -> Any:
    return make_label(Composition(tuple(of)), BOIL, LINES, where)


@given(materials(), WHERE, st.randoms(use_true_random=False))
def test_the_order_in_which_materials_come_never_matters(
    of: list[Ingredient], where: Place, chance: Any
) -> None:
    shuffled = [*of]
    chance.shuffle(shuffled)
    one, other = told(of, where), told(shuffled, where)
    assert label_text(one.label) == label_text(other.label)
    assert one.problems == other.problems


@given(materials(), WHERE)
def test_the_heavier_stands_before_the_lighter(of: list[Ingredient], where: Place) -> None:
    weighed = [one for one in of if one.mg is not None and one.kind in ("sugar", "acid")]
    text = "".join(str(t) for t, _ in told(of, where).label["ingredients"]).lower()
    at = {one.material: text.find(str(one.facts["label"])) for one in weighed}
    assert all(place_in >= 0 for place_in in at.values())
    for one in weighed:
        for other in weighed:
            if (one.mg or 0) > (other.mg or 0) and not _inside(one, other):
                assert at[one.material] < at[other.material]


def _inside(one: Ingredient, other: Ingredient) -> bool:
    """A name within another's can't be told apart by where it is found."""
    return any(
        str(a.facts["label"]) in str(b.facts["label"]) for a, b in [(one, other), (other, one)]
    )


@given(materials(), WHERE)
def test_just_the_allergens_that_went_in_stand_out(of: list[Ingredient], where: Place) -> None:
    went_in = {word for one in of for word in allergens_of(one, where)}
    label = told(of, where).label
    if where.list["emphasis"]:
        assert {text.lower() for text in strong(label["ingredients"])} == went_in
        assert label["contains"] == ""
    else:
        assert strong(label["ingredients"]) == []
        said = label["contains"].removeprefix("Contains: ").lower().split(", ")
        assert {word for word in said if word} == went_in


@given(materials(), WHERE)
def test_the_same_boil_gives_the_same_bytes_and_they_read_back(
    of: list[Ingredient], where: Place
) -> None:
    text = label_text(told(of, where).label)
    assert text == label_text(told(of, where).label)
    assert label_text(json.loads(text)) == text


@given(materials(), st.data())
def test_another_lot_is_another_boil(of: list[Ingredient], data: st.DataObject) -> None:
    changed = data.draw(st.sampled_from(of))
    others = [replace(one, lots=("another",)) if one is changed else one for one in of]
    one, other = (composition_hash(Composition(tuple(rows))) for rows in (of, others))
    assert one != other
    assert told(of, place("GB")).made_of == one


@given(materials(), WHERE, st.integers(0, 5_000))
def test_more_sulphites_never_take_the_word_away(
    of: list[Ingredient], where: Place, ppm: int
) -> None:
    def said(value: int) -> bool:
        syrup = ingredient("syrup", "Syrup", 2_950_000, label="qqq", sulphites_ppm=value)
        return where.words["sulphites"] in str(list_of([*of, syrup], 11_000_000, where).runs)

    assert said(ppm) <= said(ppm + 1)
    assert said(5_000)
    assert not said(0)
