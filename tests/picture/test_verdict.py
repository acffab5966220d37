"""Yes, no, or instead: the seven questions, the figures behind them, and what is offered."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.picture.case import BuildFacts, Case, Dye, Enquiry, Facts, facts_of
from shop.picture.crew import Hand
from shop.picture.needs import ends_kg, gives, logs_for, need_kg
from shop.picture.offers import passes
from shop.picture.questions import clock, ring_letters
from shop.picture.shapes import Flaw
from shop.picture.verdict import case_of, judged, verdict
from shop.plan.numbers import shop_numbers
from tests.picture.beehive import SECTION, drawn_beehive

NUMBERS = shop_numbers({})
LOG_KG, FILL = 11.0, 100_000
ORDER = Enquiry(
    packs=80,
    fill_mg=FILL,
    dyes={"yellow": Dye("E100", 150.0), "brown": Dye("E150d", 400.0)},
    where="GB",
    allergens=(),
    day="2026-11-25",
    light_up_min=8 * 60,
    shift_end_min=12 * 60 + 30,
    accepts_variation=True,
)
BUILD = BuildFacts(23.0, 30.0, True, "25 parts, 2 hands: closed in 23 min of 30.")
FACTS = Facts(
    section=SECTION,
    parts=25,
    colours=("yellow", "brown"),
    portions={"white": 7.3, "yellow": 1.2, "brown": 0.55, "wings": 0.08, "jacket": 1.87},
    density=1296.0,
    line_m=0.006,
    mirror_symmetric=True,
)
PLAIN = Case(FACTS, replace(ORDER, dyes={}), BUILD, 2, NUMBERS)


@cache
def hive() -> Case:
    hands = [Hand("Maren"), Hand("Tobit")]
    return case_of(drawn_beehive(), replace(ORDER, dyes={}), hands, NUMBERS)


def reply(case: Case, question: str) -> tuple[str, str]:
    """The answer to one question and its sentence."""
    (found,) = [q for q in judged(case)["questions"] if q["id"] == question]
    return found["reply"], found["says"]


def test_the_demos_beehive_is_a_yes() -> None:
    # job, section 8: 25 parts, 2 colours, 24 min, finest line 0.56 mm in the rod, need 9.32 kg of
    # 11.0, spare 18 %: pass.
    said = judged(hive())
    assert said["verdict"] == "yes"
    assert said["says"] == "Yes, we can make it."
    assert said["reasons"] == said["counter_offers"] == said["to_ask"] == []
    assert hive().facts.parts == 25
    assert hive().facts.colours == ("yellow", "brown")
    line = hive().facts.line_m
    assert line is not None
    assert hive().facts.in_rod_mm(line) == pytest.approx(0.56, abs=0.01)
    assert said["figures"]["minutes"] == pytest.approx(24, abs=1.5)
    assert said["figures"]["need_kg"] == pytest.approx(9.32, abs=0.02)
    assert "18 % to spare" in reply(hive(), "sugar")[1]
    assert [q["id"] for q in said["questions"]] == [
        "text",
        "lines",
        "parts",
        "sugar",
        "law",
        "day",
        "variation",
    ]


def test_the_figures_are_those_of_the_trades_own_example() -> None:
    # job, 3.5: 11 kg gives 9.7 to 9.8 kg, 51 m of good rod, about 37 rods, 95 to 96 bags of 102 g.
    given = gives(LOG_KG, FILL, 1296.0, 0.014, NUMBERS)
    assert given.net_kg == pytest.approx(9.75, abs=0.06)
    assert given.metres == pytest.approx(51.4, abs=0.2)
    assert given.rods == pytest.approx(36.7, abs=0.2)
    assert given.packs in (95, 96)
    # (N × 0.102 + 0.15)/0.97 + 0.75.
    assert need_kg(80, FILL, LOG_KG, NUMBERS) == pytest.approx(9.32, abs=0.02)


# Rod, R from 150 mm, most letters a ring can hold: the trade's table of minimum sizes.
RINGS = [(10, 5), (12, 7), (14, 9), (15, 9), (18, 12), (20, 13), (25, 18), (30, 22)]


@pytest.mark.parametrize(("rod_mm", "letters"), RINGS)
def test_a_ring_holds_as_many_letters_as_the_table_says(rod_mm: int, letters: int) -> None:
    section = replace(SECTION, rod_diameter_m=rod_mm / 1000)
    assert ring_letters(section, NUMBERS) == letters


@given(st.integers(1, 2000), st.integers(20_000, 500_000), st.floats(3, 20))
def test_what_is_needed_is_just_enough(packs: int, fill: int, log_kg: float) -> None:
    logs = logs_for(packs, fill, log_kg, NUMBERS)
    if logs is None:
        assert gives(log_kg, fill, 1300.0, 0.014, NUMBERS, 8).packs < packs
        return
    assert gives(log_kg, fill, 1300.0, 0.014, NUMBERS, logs).packs >= packs
    assert logs == 1 or gives(log_kg, fill, 1300.0, 0.014, NUMBERS, logs - 1).packs < packs


@given(st.integers(1, 500), st.floats(4, 20), st.integers(1, 4))
def test_every_gram_of_the_need_is_somewhere(packs: int, log_kg: float, logs: int) -> None:
    need = need_kg(packs, FILL, log_kg, NUMBERS, logs)
    rods = need - logs * ends_kg(log_kg, NUMBERS)
    dust = rods * NUMBERS["dust_share"] / 1e6
    packed = packs * (FILL + NUMBERS["giveaway"]) / 1e6
    aside = logs * (NUMBERS["trial_mass"] + NUMBERS["retain_mass"]) / 1e6
    assert rods - dust - aside == pytest.approx(packed)


def test_what_was_not_asked_is_asked_and_is_no_no() -> None:
    case = replace(PLAIN, enquiry=Enquiry(packs=80, fill_mg=FILL))
    said = judged(case)
    assert said["verdict"] == "yes"
    assert len(said["to_ask"]) == 3
    assert reply(case, "law")[0] == reply(case, "day")[0] == reply(case, "variation")[0] == "ask"


def test_too_many_bags_get_two_logs_or_fewer_bags() -> None:
    case = replace(PLAIN, enquiry=replace(PLAIN.enquiry, packs=150))
    said = judged(case)
    assert said["verdict"] == "instead"
    offers = {offer["kind"]: offer for offer in said["counter_offers"]}
    assert offers["two logs"]["packs"] >= 150
    assert offers["two logs"]["minutes"] == 46.0
    assert offers["two logs"]["metres"] == pytest.approx(2 * 51.3, abs=0.3)
    assert offers["fewer bags"]["packs"] == judged(PLAIN)["figures"]["packs"]
    assert all(offer["passes"] for offer in offers.values())
    assert "kg short" in said["reasons"][0]


def test_a_line_too_fine_gets_the_thinnest_rod_in_which_it_reads() -> None:
    # 6 mm at 150 mm is the eye's 0.45 mm at 11.25 mm: 11 mm does not do, 12 mm does.
    case = PLAIN.with_rod(0.010)
    said = judged(case)
    (offer,) = said["counter_offers"]
    assert said["verdict"] == "instead"
    assert offer["kind"] == "bigger rod"
    assert offer["rod_mm"] == 12.0
    assert offer["metres"] < said["figures"]["metres"]
    assert not passes(case.with_rod(0.011))


def test_a_strip_too_thin_for_hands_is_helped_by_no_rod_but_by_mending() -> None:
    thin = replace(FACTS, line_m=0.003)
    said = judged(replace(PLAIN, facts=thin).with_rod(0.025))
    assert said["verdict"] == "no"
    assert "hands lay 6 mm" in said["reasons"][0]
    said = judged(replace(PLAIN, facts=replace(thin, thickened=0.021)).with_rod(0.025))
    assert said["verdict"] == "instead"
    assert said["counter_offers"][0]["kind"] == "mended"
    assert "2.1 % of the picture" in said["says"]


def test_a_build_that_does_not_hold_offers_what_the_schedule_solved() -> None:
    ways = (
        {"kind": "hand", "says": "One more hand from the start", "minutes": 23.0, "saves": True},
        {"kind": "fewer", "says": "5 fewer: a, b", "minutes": 29.3, "saves": True},
        {"kind": "heater", "says": "8 places", "minutes": 33.0, "saves": False},
    )
    slow = BuildFacts(33.7, 30.0, False, "25 parts are 220 s too many for one hand.", ways)
    said = judged(replace(PLAIN, build=slow, hands=1))
    assert said["verdict"] == "instead"
    assert [(o["kind"], o["minutes"]) for o in said["counter_offers"]] == [
        ("one more hand", 23.0),
        ("fewer parts", 29.3),
    ]
    assert said["says"].startswith("Not as it is. 25 parts are 220 s too many")
    assert said["says"].endswith("(23 min to build, 51 m of rod, 96 bags).")


def test_too_many_parts_or_colours_are_a_no() -> None:
    many = replace(PLAIN, facts=replace(FACTS, parts=41))
    assert reply(many, "parts") == ("no", "41 parts; 30 can be built.")
    gaudy = replace(PLAIN, facts=replace(FACTS, colours=tuple("abcdef")))
    assert reply(gaudy, "parts")[0] == "no"
    assert judged(gaudy)["counter_offers"][0]["kind"] == "fewer colours"


def test_two_noes_are_mended_together() -> None:
    enquiry = replace(PLAIN.enquiry, packs=150, busy=frozenset({"2026-11-25", "2026-11-26"}))
    said = judged(replace(PLAIN, enquiry=enquiry))
    best = said["counter_offers"][0]
    assert said["verdict"] == "instead"
    assert best["passes"]
    assert best["says"] == "two logs and 24 Nov 2026"
    assert [offer["passes"] for offer in said["counter_offers"]] == [True, False, False, False]


def test_the_day_is_free_and_the_hot_part_ends_in_the_shift() -> None:
    # job, section 10: latest light-up = shift end − (100 + 13 + 10 + spread 15) min.
    late = replace(PLAIN, enquiry=replace(PLAIN.enquiry, light_up_min=10 * 60 + 55))
    answer, says = reply(late, "day")
    assert answer == "no"
    assert says == "Lit at 10:55 it runs past the end of the shift; light it by 10:12."
    assert {o["kind"] for o in judged(late)["counter_offers"]} == {"earlier"}
    taken = replace(PLAIN, enquiry=replace(PLAIN.enquiry, busy=frozenset({"2026-11-25"})))
    assert judged(taken)["counter_offers"][0]["says"] == "26 Nov 2026"
    due = replace(taken.enquiry, due="2026-11-25")
    assert judged(replace(PLAIN, enquiry=due))["counter_offers"][0]["says"] == "24 Nov 2026"


@pytest.mark.parametrize(
    ("text", "rod_mm", "ring", "answer", "part"),
    [
        ("", 14, False, "yes", "no text"),
        ("OTTO", 14, False, "yes", "from both faces"),
        ("TOM", 14, False, "yes", "the other order"),
        ("ZOE", 14, False, "yes", "E, Z are turned"),
        ("Otto", 14, False, "no", "Small letters need a rod of 25 mm"),
        ("Otto", 25, False, "yes", "4 letters"),
        ("MAXIM", 14, True, "yes", "5 letters"),
        ("MAXIMILIAN", 14, True, "no", "holds 6"),
        ("OTTO", 12, True, "no", "needs a rod of 14 mm"),
    ],
)
def test_text(text: str, rod_mm: int, ring: bool, answer: str, part: str) -> None:
    enquiry = replace(PLAIN.enquiry, text=text, ring=ring)
    said = reply(replace(PLAIN, enquiry=enquiry).with_rod(rod_mm / 1000), "text")
    assert said[0] == answer
    assert part in said[1]


def test_letters_too_low_get_a_bigger_rod_and_small_ones_capitals() -> None:
    low = replace(
        PLAIN,
        facts=replace(FACTS, letter_m=0.027),
        enquiry=replace(PLAIN.enquiry, text="OTTO"),
    )
    assert reply(low, "text")[0] == "yes"
    said = judged(low.with_rod(0.0125))
    assert said["counter_offers"][0]["rod_mm"] == 14.0
    small = judged(replace(PLAIN, enquiry=replace(PLAIN.enquiry, text="Otto")))
    assert [o["kind"] for o in small["counter_offers"]] == ["capitals", "bigger rod"]
    assert small["counter_offers"][1]["rod_mm"] == 25.0


def test_colours_are_held_against_the_law_of_where_it_is_sold() -> None:
    # Regulation (EU) 2022/63: E171 is out in EU and NI; the program has no rule for E150d.
    white = replace(PLAIN, enquiry=replace(ORDER, dyes={"white": Dye("E171", 100.0)}, where="EU"))
    assert reply(white, "law")[0] == "no"
    assert "E171 may not be used there" in reply(white, "law")[1]
    # Regulation (EU) 232/2012: E110 at most 35 mg/kg; 400 mg/kg in 0.55 of 11 kg are 20.
    brown = replace(PLAIN, enquiry=replace(ORDER, dyes={"brown": Dye("E110", 400.0)}))
    assert reply(brown, "law")[0] == "yes"
    strong = replace(PLAIN, enquiry=replace(ORDER, dyes={"brown": Dye("E110", 900.0)}))
    assert reply(strong, "law") == ("no", "E110 is 45 mg/kg in the sweet; 35 may be.")
    assert judged(strong)["verdict"] == "no"


def test_who_will_not_have_hand_work_can_not_be_helped() -> None:
    said = judged(replace(PLAIN, enquiry=replace(PLAIN.enquiry, accepts_variation=False)))
    assert said["verdict"] == "no"
    assert said["says"].startswith("No. Hand work can't do without:")


def test_every_offer_is_the_whole_question_asked_again() -> None:
    enquiry = replace(PLAIN.enquiry, packs=150, text="Otto", busy=frozenset({"2026-11-25"}))
    said = judged(replace(PLAIN, enquiry=enquiry).with_rod(0.010))
    for offer in said["counter_offers"]:
        assert {"kind", "says", "passes", "minutes", "metres", "packs"} <= set(offer)
    assert said["counter_offers"][0]["passes"]
    assert said["counter_offers"][0]["kind"].count(" and ") == 3


def test_a_drawing_whose_hairs_can_not_be_mended_is_a_no() -> None:
    facts = facts_of(drawn_beehive(), NUMBERS)
    assert facts.thickened is None
    assert facts.hole_m is None
    said = judged(replace(PLAIN, facts=replace(facts, line_m=0.0003)))
    assert said["verdict"] == "no"


def test_mending_is_offered_only_where_the_drawing_is_still_there() -> None:
    drawn = drawn_beehive()
    flaw = Flaw("line", "brown", (0.0, 0.0), 0.002, 0.00019, 0.006, 1e-6, ())
    blank = replace(drawn.raster, labels=np.where(drawn.raster.labels > 0, 0, drawn.raster.labels))
    kept, lost = (
        replace(drawn, flaws=(flaw,), before=drawn.raster, raster=after, changed_m2=117e-6)
        for after in (drawn.raster, blank)
    )
    # 117 mm² of a disc of 61 mm radius are 1 %.
    assert facts_of(kept, NUMBERS).thickened == pytest.approx(0.01, rel=0.01)
    assert facts_of(lost, NUMBERS).thickened is None
    assert facts_of(kept, NUMBERS).line_m == 0.002


def test_far_too_many_parts_are_judged_by_the_rule_of_thumb() -> None:
    drawn = drawn_beehive()
    rows = [replace(drawn.parts[0], id=f"p{n}", name=f"Part {n}", cluster="a") for n in range(90)]
    crowded = replace(drawn, parts=(*rows, *drawn.parts[-2:]))
    said = verdict(crowded, replace(ORDER, dyes={}), [Hand("Maren"), Hand("Tobit")], NUMBERS)
    # 90 × 52 s / 2 + 6 min + 6 min = 51 min.
    assert said["verdict"] == "no"
    assert said["reasons"] == ["90 parts; 30 can be built. 90 parts would take about 51 min of 30."]


def test_the_verdict_of_a_drawing_takes_a_build_that_is_known() -> None:
    known = {"minutes": 12.0, "limit_minutes": 30.0, "holds": True, "says": "", "saves": []}
    said = verdict(drawn_beehive(), ORDER, [Hand("Maren")], NUMBERS, build=known)
    assert said["figures"]["minutes"] == 12.0
    assert clock(0) == "00:00"
