"""What went into a boil: masses as they were weighed, lots as they were said, gaps told."""

from dataclasses import asdict
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from shop.demo.day import LINES
from shop.demo.scenario import demo_sheet
from shop.record.fold import fold
from shop.record.ingredients import together
from shop.record.made import Composition, Ingredient, composition, composition_hash, uses
from tests.record.test_fold import made

SHEET = demo_sheet("demo-finished")
KG, G = 1_000_000, 1_000


def played(sheet: dict[str, Any] = SHEET) -> list[dict[str, Any]]:
    """The demo's day as events: what was weighed, counted, said of lots."""
    kept = ("reading_taken", "tally_counted", "lot_used")
    lines = [what for _, _, _, what in LINES["demo-finished"] if what["kind"] in kept]
    return [_event(sheet, what, n) for n, what in enumerate(lines, 1)]


def _event(sheet: dict[str, Any], what: dict[str, Any], seq: int) -> dict[str, Any]:
    body = dict(what["body"])
    if what["kind"] == "reading_taken":
        body |= {"instrument": "", "how": ""}
    return made(what["kind"], body, seq=seq, batch=sheet["batch"])


def said(material: str, lot: str, seq: int, **more: Any) -> dict[str, Any]:
    body = {"material": material, "lot": lot, **more}
    return made("lot_used", body, seq=seq, batch=SHEET["batch"])


def by_key(of: Composition) -> dict[str, Ingredient]:
    return {one.material: one for one in (*of.ingredients, *of.packaging)}


def state(*events: dict[str, Any]) -> dict[str, Any]:
    return fold(SHEET, [*played(), *events])


def test_the_played_day_is_told_whole() -> None:
    of = composition(SHEET, state())
    found = by_key(of)
    weighed = {key: one.mg for key, one in found.items() if one.kind not in ("slab", "foam")}
    # As typed in the day: 8.42 / 2.95 / 3.00 kg, 110 g, 28 g; dyes are their share of the portions:
    # 150, 60 and 400 mg of pure dye a kilogram of 1.23, 1.89 and 0.57 kg, in a powder of 87 %.
    assert weighed == {
        "water": 3 * KG,
        "sugar": 8_420_000,
        "glucose-syrup": 2_950_000,
        "citric-acid": 110 * G,
        "quince": 28 * G,
        "curcumin": 212 + 130,
        "caramel": 262,
        "bags": 95,
    }
    assert abs(found["curcumin"].mg - (150 * 1.23 + 60 * 1.89) / 0.87) < 1  # type: ignore[operator]  # a number above
    assert abs(found["caramel"].mg - 400 * 0.57 / 0.87) < 1  # type: ignore[operator]  # a number above
    assert {key: one.lots for key, one in found.items()}["sugar"] == ("s118",)
    assert "butter" not in found
    assert [one.material for one in of.packaging] == ["bags"]
    assert of.gaps == ()
    assert all(one.weighed for one in found.values() if one.kind != "slab")
    assert of.allergens() == frozenset()


def test_its_masses_are_the_figures_of_the_reckoning() -> None:
    """Conserved: what the composition says went in is what the sums reckon with."""
    folded = state()
    found = by_key(composition(SHEET, folded))
    figures = folded["figures"]
    charge = sum(found[key].mg or 0 for key in ("water", "sugar", "glucose-syrup"))
    assert charge == figures["charge"]
    assert found["citric-acid"].mg == figures["acid_mass"]
    assert found["curcumin"].mg == figures["yellow_dye"] + figures["jacket_dye"]
    assert found["caramel"].mg == figures["brown_dye"]


def test_before_anything_is_weighed_it_is_as_planned_and_says_so() -> None:
    of = composition(SHEET, fold(SHEET, []))
    found = by_key(of)
    planned = fold(SHEET, [])["figures"]
    assert (found["sugar"].mg, found["sugar"].weighed) == (planned["sugar_planned"], False)
    assert "Sugar: not weighed; as planned." in of.gaps
    assert "Sugar: nobody said which lot." in of.gaps
    assert "Slab oil: nobody said which lot." in of.gaps
    assert not [gap for gap in of.gaps if gap.startswith(("Water: nobody", "Butter"))]


def test_a_struck_lot_is_gone_and_the_newest_said_stands() -> None:
    other = said("sugar", "s119", 90)
    assert by_key(composition(SHEET, state(other)))["sugar"].lots == ("s119",)
    strike = made("struck", {"target": "kettle0:90"}, seq=91, batch=SHEET["batch"])
    assert by_key(composition(SHEET, state(other, strike)))["sugar"].lots == ("s118",)
    unsaid = said("sugar", "", 92)
    of = composition(SHEET, state(other, strike, unsaid))
    assert by_key(of)["sugar"].lots == ("",)
    assert "Sugar: nobody said which lot." in of.gaps


def test_butter_is_in_it_only_where_it_was_said_and_brings_its_milk() -> None:
    of = composition(SHEET, state(said("butter", "b3", 90, also=1)))
    assert by_key(of)["butter"].lots == ("b3",)
    assert of.allergens() == {"milk"}


def test_a_lot_of_wheat_says_so_beside_one_of_maize() -> None:
    beside = said("glucose-syrup", "g42", 90, also=1)
    syrup = by_key(composition(SHEET, state(beside)))["glucose-syrup"]
    assert (syrup.lots, syrup.facts["from"]) == (("g41", "g42"), "maize and wheat")
    instead = said("glucose-syrup", "g42", 91)
    assert by_key(composition(SHEET, state(instead)))["glucose-syrup"].facts["from"] == "wheat"


def test_what_came_after_the_freeze_is_told_with_what_the_store_knows_of_it() -> None:
    folded = state(said("sugar", "s120", 90), said("honey", "h1", 91))
    of = composition(SHEET, folded, {"s120": {"allergens": ["nuts"]}})
    assert by_key(of)["sugar"].facts["allergens"] == ["nuts"]
    assert "honey is not on this boil's sheet." in of.gaps


def test_two_sugars_are_alternatives_and_only_what_was_said_went_in() -> None:
    cane = {**next(m for m in SHEET["materials"] if m["id"] == "sugar"), "id": "cane"}
    both = {**SHEET, "materials": [*SHEET["materials"], cane]}
    nobody = composition(both, fold(both, []))
    assert [i.material for i in nobody.ingredients if i.kind == "sugar"] == ["sugar"]
    said_cane = fold(both, [said("cane", "c1", 1)])
    found = [i for i in composition(both, said_cane).ingredients if i.kind == "sugar"]
    assert [(i.material, i.lots) for i in found] == [("cane", ("c1",))]
    said_both = fold(both, [*played(), said("cane", "c1", 90)])
    found = [i for i in composition(both, said_both).ingredients if i.kind == "sugar"]
    assert sum(i.mg or 0 for i in found) == 8_420_000
    assert len(found) == 2


def test_an_older_sheet_says_that_it_names_nothing() -> None:
    old = {key: value for key, value in SHEET.items() if key != "materials"}
    of = composition(old, fold(old, []))
    assert of.ingredients == ()
    [gap] = of.gaps
    assert "before there was a store room" in gap


def test_a_colour_the_store_room_has_not_is_a_gap() -> None:
    rows = [m for m in SHEET["materials"] if m["id"] != "caramel"]
    of = composition({**SHEET, "materials": rows}, state())
    assert of.gaps == (
        "caramel is not on this boil's sheet.",
        "caramel: nobody said how much.",
        "Brown: no colour of the store room makes it.",
    )


lots = st.lists(
    st.tuples(st.sampled_from(["s118", "s119", "s120"]), st.none() | st.integers(1, 10**7)),
    min_size=1,
    max_size=4,
)


@given(lots)
def test_uses_weigh_what_went_in_unless_more_was_said(sacks: list[tuple[str, int | None]]) -> None:
    events = [
        said("sugar", lot, n, also=1, **({"mg": mg} if mg else {}))
        for n, (lot, mg) in enumerate(sacks, 90)
    ]
    first = said("sugar", "", 89)
    taken = [u for u in uses(SHEET, state(first, *events)) if u.material == "sugar"]
    told = dict(sacks)
    assert {u.lot for u in taken} == set(told)
    everything = sum(u.mg or 0 for u in taken)
    own = sum(mg for mg in told.values() if mg)
    assert everything == (max(own, 8_420_000) if None in told.values() else own)
    for use in taken:
        assert told[use.lot] in (None, use.mg)


@given(st.permutations(range(6)))
def test_its_hash_is_the_same_in_whatever_order_entries_come(order: list[int]) -> None:
    more = [said("sugar", "s119", 90, also=1), said("glucose-syrup", "g42", 91)]
    events = [*played(), *more]
    some = events[-6:]
    shuffled = events[:-6] + [some[i] for i in order]
    one, other = (composition(SHEET, fold(SHEET, e)) for e in (events, shuffled))
    assert composition_hash(one) == composition_hash(other)
    assert asdict(one) == asdict(other)


def test_another_lot_another_weight_another_name() -> None:
    first = composition_hash(composition(SHEET, state()))
    changed = [
        state(said("sugar", "s119", 90)),
        state(_event(SHEET, _weigh("8.43"), 90)),
        state(said("butter", "b3", 90)),
    ]
    names = {composition_hash(composition(SHEET, one)) for one in changed}
    assert len(names | {first}) == 4


def _weigh(kilos: str) -> dict[str, Any]:
    body = {"what": "sugar_weighed", "n": int(kilos.replace(".", "")), "d": 100, "unit": "kg"}
    return {"kind": "reading_taken", "body": body}


facts = st.fixed_dictionaries(
    {},
    optional={
        "allergens": st.lists(st.sampled_from(["milk", "nuts", "soya"]), max_size=2),
        "sulphites_ppm": st.integers(0, 100),
        "from": st.sampled_from(["maize", "wheat"]),
        "label": st.sampled_from(["sugar", "syrup"]),
    },
)


@given(facts, st.lists(facts, max_size=3))
def test_no_allergen_is_ever_lost(own: dict[str, Any], papers: list[dict[str, Any]]) -> None:
    found = together(own, papers)
    for one in (own, *papers):
        assert set(one.get("allergens", [])) <= set(found.get("allergens", []))
    feared = [{**own, **paper}.get("sulphites_ppm", 0) for paper in papers] or [
        own.get("sulphites_ppm", 0)
    ]
    assert found.get("sulphites_ppm", 0) == max(feared)
    assert together(found, []) == found
