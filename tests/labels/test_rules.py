"""The label of a boil, held against what the rules of each place print. Sources beside each."""

import tomllib
from dataclasses import replace
from importlib.resources import files
from typing import Any

import pytest

from shop.demo.scenario import demo_sheet
from shop.labels.label import best_before, make_label
from shop.labels.net import net_words
from shop.labels.places import PLACES, place, place_of
from shop.record.fold import fold
from shop.record.made import composition
from tests.labels.asked import answer, problems, text
from tests.labels.pantry import (
    BOIL,
    BUTTER,
    LINES,
    MAIZE,
    OIL,
    W_0117,
    WHEAT,
    ingredient,
    made,
)

EUROPE = ("EU", "GB", "NI")


def test_w_0117_as_it_was_made_and_sold_in_great_britain() -> None:
    label = answer(W_0117, "GB").label
    assert label is not None
    assert text(W_0117, "GB") == "Sugar, glucose syrup, acid (citric acid), natural flavouring"
    assert label["name"] == "Boiled sweets, quince and lemon balm flavour"
    assert (label["net"], label["lot"]) == ("100 g", "L6329A")
    assert label["date"] == "Best before 25 Nov 2027"
    assert (label["warnings"], label["contains"]) == ([], "")
    assert label["business"] == [
        "Made by Wobblethwaite Sugar Loft, The Loft, Treacle Yard, Wobblethwaite"
    ]


def test_the_same_boil_for_the_us_has_its_own_words_and_both_units() -> None:
    # 21 CFR 101.3 (common name), 101.7 (dual quantity), 184.1865 (corn syrup): from memory.
    label = answer(W_0117, "US").label
    assert label is not None
    assert text(W_0117, "US") == "Sugar, corn syrup, citric acid, natural flavor"
    assert label["name"] == "Quince and lemon balm flavored hard candy"
    assert label["net"] == "Net Wt 3.52 oz (100 g)"
    assert label["date"] == "Best by 25 Nov 2027"


@pytest.mark.parametrize("where", EUROPE)
def test_glucose_syrup_from_wheat_is_exempt_in_europe(where: str) -> None:
    # Regulation (EU) 1169/2011, Annex II, 1(a): from memory.
    assert "wheat" not in text(made(WHEAT), where).lower()
    named = ingredient("syrup", "Syrup", 1_000_000, label="glucose syrup", allergens=["wheat"])
    assert "wheat" not in text(made(named), where).lower()


def test_glucose_syrup_from_wheat_is_declared_in_the_us() -> None:
    # 21 USC 343(w)(1): wheat is a major allergen, and no exemption is known. From memory.
    label = answer(made(WHEAT), "US").label
    assert label is not None
    assert label["contains"] == "Contains: Wheat"
    assert "corn" not in text(made(WHEAT), "US")


def test_wheat_flour_is_no_syrup_and_stands_out_everywhere() -> None:
    flour = ingredient("slab", "Wheat flour", 20_000, label="wheat flour", allergens=["wheat"])
    for where in EUROPE:
        assert "*wheat* flour" in text(made(MAIZE, flour), where)


@pytest.mark.parametrize(("ppm", "said"), [(37, False), (38, True), (200, True)])
def test_sulphites_are_told_above_ten_milligrams_in_a_kilogram(ppm: int, said: bool) -> None:
    # Annex II, 12: more than 10 mg/kg. 2.95 kg in 11.17 kg: 38 ppm make 10.04, 37 make 9.77 mg/kg.
    syrup = ingredient("syrup", "Syrup", 2_950_000, label="glucose syrup", sulphites_ppm=ppm)
    for where in EUROPE:
        assert ("glucose syrup (*sulphites*)" in text(made(syrup), where)) is said
    assert ("glucose syrup (sulfites)" in text(made(syrup), "US")) is said


def test_exactly_ten_is_told_in_the_us_and_not_in_europe() -> None:
    # 'More than 10 mg/kg' (Annex II, 12) and '10 parts per million or more' (21 CFR 101.100(a)(4)).
    syrup = ingredient("syrup", "Syrup", 1_000_000, label="glucose syrup", sulphites_ppm=100)
    of = made(syrup)
    ten = {where: answer(of, where, finished_mg=10_000_000).label for where in ("EU", "US")}
    told = {where: "sul" in str(label and label["ingredients"]) for where, label in ten.items()}
    assert told == {"EU": False, "US": True}


def test_oil_on_the_slab_is_no_ingredient_but_its_nuts_are() -> None:
    # Articles 20(b) and 9(1)(c) of 1169/2011; 21 CFR 101.100(a)(3) and 21 USC 343(w). From memory.
    assert any("Slab oil" in why for why in answer(W_0117, "GB").left_out)
    nut = ingredient("slab", "Almond oil", None, label="almond oil", allergens=["almonds"])
    for where in EUROPE:
        assert text(made(MAIZE, nut), where).endswith("almond oil (*almonds*)")
    label = answer(made(MAIZE, nut), "US").label
    assert label is not None
    assert label["contains"] == "Contains: Almonds"


def test_butter_against_foam_makes_it_milk() -> None:
    for where in EUROPE:
        assert text(made(MAIZE, BUTTER), where).endswith("butter (*milk*)")
    label = answer(made(MAIZE, BUTTER), "US").label
    assert label is not None
    assert label["contains"] == "Contains: Milk"


def test_butter_that_nobody_called_milk_holds_the_label_back() -> None:
    bare = ingredient("foam", "Butter", None, label="butter")
    for where in PLACES:
        assert "do not name milk" in problems(made(MAIZE, bare), where)
    tartar = ingredient("acid", "Cream of tartar", 20_000, label="cream of tartar", function="acid")
    assert answer(made(MAIZE, tartar), "GB").problems == ()


def test_nuts_must_say_which_and_odd_words_are_asked_about() -> None:
    nuts = ingredient("slab", "Oil", None, label="oil", allergens=["nuts"])
    assert "Say which nut" in problems(made(MAIZE, nuts), "GB")
    odd = ingredient("slab", "Oil", None, label="oil", allergens=["lecithin"])
    assert "'lecithin'" in problems(made(MAIZE, odd), "GB")


def test_what_nobody_said_holds_the_label_back_with_the_next_step() -> None:
    gap = "Glucose syrup 43: nobody said which lot."
    found = problems(made(MAIZE, gaps=[gap]), "GB")
    assert gap in found
    assert "Say which lot" in found
    nameless = ingredient("acid", "Sour powder", 100_000)
    assert "no name for the list" in problems(made(MAIZE, nameless), "GB")
    assert "no address" in " ".join(
        p.words for p in make_label(W_0117, BOIL, replace(LINES, address=" "), place("GB")).problems
    )


def test_a_weight_as_planned_is_told_and_holds_nothing_back() -> None:
    """Through the real composition, so that its sentence and the one looked for stay one."""
    sheet = a_sheet()
    state = fold(sheet, [])
    state["lots"] = [
        {
            "material": m["id"],
            "lot": f"lot-{m['id']}",
            "mg": None,
            "at": 1,
            "by": "",
            "ref": m["id"],
        }
        for m in sheet["materials"]
    ]
    found = make_label(composition(sheet, state), BOIL, LINES, place("GB"))
    assert found.label is not None, found.problems
    assert any("as planned" in notice for notice in found.notices)


def test_bags_whose_lot_nobody_said_hold_nothing_back_but_oil_does() -> None:
    bags = ingredient("pack", "Bags, 100 g", None)
    gaps = [f"{name}: nobody said which lot." for name in ("Bags, 100 g", "Slab oil")]
    of = replace(made(MAIZE, OIL, gaps=gaps[:1]), packaging=(bags,))
    found = answer(of, "GB")
    assert (found.problems, found.notices) == ((), (gaps[0],))
    assert gaps[1] in problems(replace(of, gaps=tuple(gaps)), "GB")


def test_a_sheet_of_before_says_that_it_names_no_materials() -> None:
    sheet = {**a_sheet()}
    del sheet["materials"]
    found = make_label(composition(sheet, fold(sheet, [])), BOIL, LINES, place("GB"))
    assert found.label is None
    assert any("before there was a store room" in p.words for p in found.problems)


def a_sheet() -> dict[str, Any]:
    sheet = demo_sheet("demo-finished")
    rows = [
        ("sugar", "sugar", "sugar_weighed", "sugar_planned"),
        ("syrup", "syrup", "syrup_weighed", "syrup_planned"),
        ("citric acid", "acid", "acid_weighed", "acid_dose"),
    ]
    sheet["materials"] = [
        {
            **{"id": kind, "name": name, "kind": kind, "record": record, "figure": figure},
            **{"step": "", "ppm": 1_000_000, "facts": {"label": name}, "lots": []},
        }
        for name, kind, record, figure in rows
    ]
    sheet["portions"] = [{**p, "dye_mg_per_kg": 0} for p in sheet["portions"]]
    return sheet


def test_added_water_is_listed_only_where_more_than_a_twentieth_is_left() -> None:
    # Annex VII, part A, 1: what the food weighs less the other ingredients, above 5 %.
    of = made(MAIZE)
    others = 8_420_000 + 2_950_000
    for left, listed in ((0, False), (598_000, False), (599_000, True)):
        label = answer(of, "EU", finished_mg=others + left).label
        assert label is not None
        assert ("water" in str(label["ingredients"])) is listed
    label = answer(of, "US", finished_mg=others + 1000).label
    assert label is not None
    assert "water" in str(label["ingredients"])


def test_the_words_for_net_quantity() -> None:
    # 1 lb = 453.592 37 g (NIST SP 811): 4 oz are 113.40 g, 1 lb 453.60 g rounded up to the gram.
    us, eu = place("US"), place("EU")
    assert net_words(114_000, us) == "Net Wt 4.02 oz (114 g)"
    assert net_words(454_000, us) == "Net Wt 16.01 oz (1 lb 0.01 oz) 454 g"
    assert net_words(1_000_000, eu) == "1 kg"
    assert "fl" not in net_words(100_000, us)


def test_a_date_is_the_shop_s_own_and_never_takes_the_lot_away() -> None:
    # Annex X, 1(d) of 1169/2011: boiled sweets need none (from memory).
    bare = make_label(W_0117, BOIL, replace(LINES, months=0), place("GB")).label
    assert bare is not None
    assert (bare["date"], bare["lot"]) == ("", "L6329A")
    assert best_before("2026-02-28", 12, place("EU")) == "Best before 28 Feb 2027"
    assert make_label(W_0117, replace(BOIL, lot=""), LINES, place("GB")).label is None
    other = make_label(W_0117, replace(BOIL, lot="6329A"), LINES, place("GB")).label
    assert other is not None
    assert other["lot"] == "L6329A"


def test_fourteen_groups_in_europe_and_nine_in_the_us() -> None:
    # Annex II of 1169/2011 has fourteen; 21 USC 321(qq) nine since sesame (2023).
    found = {}
    for where in PLACES:
        raw = tomllib.loads(files("shop.labels").joinpath(f"{where}.toml").read_text("utf-8"))
        found[where] = len(raw["allergen"])
    assert found == {"EU": 14, "GB": 14, "NI": 14, "US": 9}
    assert {"celery", "mustard", "lupin", "molluscs"} & set(place("US").allergens) == set()


def test_every_rule_names_its_source_and_how_sure_it_is() -> None:
    for where in PLACES:
        for rule in place(where).rules:
            assert rule.says
            assert rule.source
            assert rule.sure in ("from memory", "checked")
        assert place(where).authority


def test_uk_on_an_older_sheet_is_great_britain_and_other_countries_have_no_rules() -> None:
    assert place_of("UK") == "GB"
    assert place_of("Narnia") is None


def test_an_artificial_taste_is_said_with_the_name_in_the_us() -> None:
    # 21 CFR 101.22(i)(2), from memory.
    drops = ingredient("flavour", "Quince drops", 28_000, label="flavouring")
    label = answer(made(MAIZE, drops), "US").label
    assert label is not None
    assert label["flavoured"] == "Artificially flavored"
    assert "artificial flavor" in text(made(MAIZE, drops), "US")
    plain = answer(W_0117, "US").label
    assert plain is not None
    assert plain["flavoured"] == ""
