"""Which scrap may be melted back: the rules one by one, and what they can never allow."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.picture.colours import difference
from shop.plan.numbers import shop_numbers
from shop.plan.rework import Into, Tin, hides, melted_swatch, rework

OWN = shop_numbers({})
# Of the demo's day: 1.13 kg, sour, quince, no allergen; most 5 % in a dark sour boil only.
TIN = Tin(1_130_000, "ends", True, "quince", "#b8771f", frozenset())
DARK = Into(True, "quince", (("Brown", "#4a2811"), ("Red", "#c8202c")), frozenset(), 14_370_000)

tins = st.builds(
    Tin,
    mg=st.integers(1, 10**7),
    what=st.sampled_from(["ends", "dust", "seconds", "floor"]),
    sour=st.booleans(),
    flavour=st.sampled_from(["quince", "mint"]),
    swatch=st.sampled_from(["#fdf8ec", "#f2c230", "#c8202c", "#4a2811"]),
    allergens=st.frozensets(st.sampled_from(["milk", "nuts"])),
    spoilt=st.sampled_from(["", "", "glass or blade damage"]),
)
boils = st.builds(
    Into,
    sour=st.booleans(),
    flavour=st.sampled_from(["quince", "mint"]),
    sugars=st.lists(
        st.tuples(st.just("Sugar"), st.sampled_from(["#fdf8ec", "#f2c230", "#c8202c", "#4a2811"])),
        min_size=1,
        max_size=3,
    ),
    allergens=st.frozensets(st.sampled_from(["milk", "nuts"])),
    charge=st.integers(0, 3 * 10**7),
    melted=st.integers(0, 2 * 10**6),
)


def test_the_demos_scrap_goes_into_a_dark_sour_boil_up_to_five_per_cent() -> None:
    assert rework(TIN, DARK, OWN).most == 718_500
    assert rework(replace(TIN, mg=100_000), DARK, OWN).most == 100_000
    assert rework(TIN, replace(DARK, melted=718_000), OWN).most == 500


@pytest.mark.parametrize(
    ("tin", "into", "why"),
    [
        (TIN, replace(DARK, sour=False), "It is sour, the boil is not sour."),
        (replace(TIN, sour=False), DARK, "It is not sour, the boil is sour."),
        (
            replace(TIN, allergens=frozenset({"milk"})),
            DARK,
            "Its allergens are milk, the boil's none.",
        ),
        (
            TIN,
            replace(DARK, allergens=frozenset({"nuts", "milk"})),
            "Its allergens are none, the boil's milk, nuts.",
        ),
        (
            TIN,
            replace(DARK, sugars=(("Brown", "#4a2811"), ("White", "#fdf8ec"))),
            "sugar that is lighter: White.",
        ),
        (replace(TIN, what="floor"), DARK, "Floor sweepings are never melted back."),
        (replace(TIN, spoilt="glass or blade damage"), DARK, "spoilt: glass or blade damage."),
        (TIN, replace(DARK, melted=718_500), "The boil has its 5 % of scrap already."),
    ],
)
def test_each_rule_says_why_not(tin: Tin, into: Into, why: str) -> None:
    found = rework(tin, into, OWN)
    assert found.most == 0
    [reason] = found.why_not
    assert why in reason


def test_another_taste_is_minded_and_not_refused() -> None:
    found = rework(TIN, replace(DARK, flavour="mint"), OWN)
    assert (found.most, found.mind) == (718_500, ("It tastes of quince.",))


@given(tins, boils)
def test_nothing_is_allowed_that_a_rule_is_against(tin: Tin, into: Into) -> None:
    found = rework(tin, into, OWN)
    assert (found.most == 0) == bool(found.why_not)
    assert 0 <= found.most <= tin.mg
    assert found.most + into.melted <= max(into.charge * 5 // 100, into.melted)
    if found.most:
        assert tin.sour == into.sour
        assert tin.allergens == into.allergens
        assert not tin.spoilt
        assert tin.what != "floor"
        assert all(hides(swatch, tin.swatch, 5_000) for _, swatch in into.sugars)


@given(tins, boils, st.integers(0, 100_000))
def test_a_smaller_share_never_allows_more(tin: Tin, into: Into, share: int) -> None:
    less = rework(tin, into, {**OWN, "rework_share": share // 2})
    more = rework(tin, into, {**OWN, "rework_share": share})
    assert less.most <= more.most


@pytest.mark.parametrize(
    ("boil", "scrap", "hidden"),
    [
        ("#000000", "#ffffff", True),
        ("#ffffff", "#000000", False),
        ("#c8202c", "#c8202c", True),
        # ΔE00 of near neighbours is below 5, of yellow and brown far above it.
        ("#f2c230", "#efbf2d", True),
        ("#f2c230", "#4a2811", False),
        ("#4a2811", "#f2c230", True),
    ],
)
def test_darker_or_the_same_hides_it(boil: str, scrap: str, hidden: bool) -> None:
    assert hides(boil, scrap, 5_000) == hidden


def test_the_limit_of_sameness_is_a_difference_of_ciede2000() -> None:
    """Sharma, Wu and Dalal (2005), table 1, pair 17: ΔE00 of Lab (50, 2.5, 0) and (73, 25, −18) is
    27.1492; the same formula by the library the house uses."""

    one, other = np.array([50.0, 2.5, 0.0]), np.array([73.0, 25.0, -18.0])
    assert abs(float(difference(one, other)) - 27.1492) < 1e-4


@given(st.lists(st.tuples(st.sampled_from(["#f2c230", "#4a2811", "#c8202c"]), st.integers(1, 99))))
def test_one_colour_melts_to_itself_and_several_to_one_between(
    sugars: list[tuple[str, int]],
) -> None:
    same = [("#f2c230", mg, True) for _, mg in sugars] or [("#f2c230", 1, True)]
    assert melted_swatch(same) == "#f2c230"
    if sugars:
        mixed = melted_swatch([(swatch, mg, True) for swatch, mg in sugars])
        every = [swatch for swatch, _ in sugars]
        for at in (1, 3, 5):
            part = int(mixed[at : at + 2], 16)
            parts = [int(swatch[at : at + 2], 16) for swatch in every]
            assert min(parts) <= part <= max(parts)


def test_pulled_white_tells_nothing_once_it_has_melted() -> None:
    assert melted_swatch([("#fdf8ec", 99, False), ("#4a2811", 1, True)]) == "#4a2811"
    assert melted_swatch([("#fdf8ec", 99, False)]) == "#fdf8ec"
