"""Our way as a shop works it: what it may change, what it may not, and what a change is."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import settings as how
from hypothesis import strategies as st

from shop.demo.scenario import demo_sheet
from shop.plan import own_way
from shop.plan.check_way import problems_of, why_not_dropped
from shop.plan.own_way import (
    Flat,
    all_ids,
    applied,
    both_changed,
    changed_between,
    merged_order,
    own_of,
    own_text,
    program_flat,
    read_own,
    restored,
    settled,
    step_fields,
    way_of,
)
from shop.plan.sheet import sheet_hash

FIGURES = frozenset(figure["name"] for figure in demo_sheet("demo-planned")["graph"])
WORDS = ("say", "call", "cue", "caution")


def sheet_by(flat: Flat, version: int = 0) -> dict[str, Any]:
    return demo_sheet("demo-planned", way=way_of(flat, version))


@st.composite
def edits(draw: st.DrawFn) -> Flat:
    """Some fields of some steps set, some steps dropped, moved or added."""
    flat = program_flat()
    words = st.text("abcdefg ", min_size=1, max_size=20)
    for path in draw(st.lists(st.sampled_from(sorted(flat)), max_size=6, unique=True)):
        if path.startswith("steps/") and path.rsplit("/", 1)[1] in WORDS:
            flat[path] = draw(words)
        elif path.startswith("order/"):
            flat[path] = draw(st.permutations(flat[path]))[: draw(st.integers(0, 9))]
    if draw(st.booleans()):
        flat |= step_fields("own.1", {"station": "hook", "say": draw(words), "call": "Own"})
        flat["order/hook"] = [*flat["order/hook"], "own.1"]
    return flat


def test_the_programs_way_has_nothing_wrong_and_nothing_of_its_own() -> None:
    assert problems_of(program_flat(), FIGURES) == []
    assert own_of(program_flat())["set"] == {}
    assert applied(read_own("")) == program_flat()


def test_the_programs_way_makes_the_very_sheet_it_made_before() -> None:
    assert sheet_hash(sheet_by(program_flat())) == sheet_hash(demo_sheet("demo-planned"))


@given(edits())
@how(deadline=None)
def test_what_is_kept_is_what_was_changed_and_comes_back_whole(flat: Flat) -> None:
    own = own_of(flat)
    assert applied(own) == flat
    assert set(own["set"]) == set(changed_between(program_flat(), flat))
    text = own_text(own)
    assert applied(read_own(text)) == flat
    assert own_text(own_of(applied(read_own(text)), read_own(text))) == text


@given(edits(), edits())
@how(deadline=None)
def test_two_ways_that_differ_in_nothing_are_one_text(one: Flat, other: Flat) -> None:
    assert (own_text(own_of(one)) == own_text(own_of(other))) == (not changed_between(one, other))


def test_equal_ways_make_equal_sheets_and_a_changed_one_another() -> None:
    flat = program_flat() | {"steps/hook.pull/call": "Pull it"}
    again = applied(read_own(own_text(own_of(flat))))
    assert sheet_hash(sheet_by(flat, 3)) == sheet_hash(sheet_by(again, 3))
    assert sheet_by(flat, 3)["way"] == 3
    assert sheet_by(flat)["steps"]["hook.pull"]["call"] == "Pull it"
    assert sheet_hash(sheet_by(flat)) != sheet_hash(demo_sheet("demo-planned"))


def drop(ident: str) -> Callable[[Flat], None]:
    def change(flat: Flat) -> None:
        order = f"order/{flat[f'steps/{ident}/station']}"
        flat[order] = [step for step in flat[order] if step != ident]

    return change


def put(path: str, value: Any) -> Callable[[Flat], None]:
    return lambda flat: flat.update({path: value})


def swap(station: str, one: str, other: str) -> Callable[[Flat], None]:
    def change(flat: Flat) -> None:
        order = list(flat[f"order/{station}"])
        a, b = order.index(one), order.index(other)
        order[a], order[b] = order[b], order[a]
        flat[f"order/{station}"] = order

    return change


REFUSED = {
    "nothing is lit without it": drop("setup.tub"),
    "its caution must be read": drop("table.skin"),
    "the reckoning hangs on it": drop("cook.at-130"),
    "the picture asks for it": drop("block.band"),
    "the cautions are read there": drop("setup.hazards"),
    "stays an item without which nothing is lit": put("steps/setup.tub/stop", 0),
    "stays a step that needs its value": put("steps/setup.boiling-water/needs_value", 0),
    "stays a step that needs a second person": put("steps/roller.trial/second_person", 0),
    "keeps its caution": put("steps/cook.wash/caution", ""),
    "not under 140 LIQUID": put("steps/cook.at-140/band", "139 LIQUID"),
    "not under 150 LIQUID": put("steps/cook.poured/band", ""),
    "a number and a word": put("steps/cook.poured/band", "200 hot"),
    "keeps a skill it needs": put("steps/cut.rods/skill", ""),
    "still comes after setup.boiling-water, setup.gas": put(
        "steps/cook.light/after", ["setup.tub", "setup.dress"]
    ),
    "say has 9 words": put("steps/hook.pull/say", "a b c d e f g h i"),
    "call has 4 words": put("steps/hook.pull/call", "a b c d"),
    "call has 0 words": put("steps/hook.pull/call", ""),
    "cue has 121 letters": put("steps/hook.pull/cue", "x" * 121),
    "between braces may stand nothing": put("steps/hook.pull/cue", "{name}"),
    "between braces may stand {Name}, {id}, {name}": put("steps/colour.{id}/say", "Cut {mass"),
    "refers to nowhere": put("steps/hook.pull/after", ["nowhere"]),
    "refers to no_figure": put("steps/hook.pull/number", "no_figure"),
    "refers to no_record": put("steps/hook.pull/record", ["no_record"]),
    "refers to no_skill": put("steps/hook.pull/skill", "no_skill"),
    "writes nothing down": put("steps/hook.pull/needs_value", 1),
    "wait for each other for ever": put("steps/cook.load/after", ["cut.last"]),
    "in this order": swap("kettle", "cook.light", "cook.boil"),
    "belongs to another station": put("order/hook", [*program_flat()["order/hook"], "cook.lid"]),
    "stands twice": put("order/hook", [*program_flat()["order/hook"], "hook.pull"]),
    "Nothing may stand between": put(
        "order/kettle",
        [*program_flat()["order/kettle"][:-3], "cook.colour", "cook.poured", "cook.kettle-away"],
    ),
    "can’t be dropped; it may be added to": put("hazards", program_flat()["hazards"][1:]),
    "at most 4": put("burn/own", ["a", "b", "c", "d", "e"]),
    "A mark has 61 letters": put("marks", [{"id": "grain", "words": "x" * 61}]),
    "There must be a reason to pass": put("pass_reasons", []),
    "Two marks or cautions have one id": put(
        "marks", [{"id": "a", "words": "a"}, {"id": "a", "words": "b"}]
    ),
}


@pytest.mark.parametrize("said", REFUSED)
def test_what_would_loosen_a_caution_or_can_not_be_worked_is_refused(said: str) -> None:
    flat = program_flat()
    REFUSED[said](flat)
    assert [line for line in problems_of(flat, FIGURES) if said in line]


def test_only_those_that_wait_for_each_other_are_named() -> None:
    flat = program_flat() | {"steps/hook.hang/after": ["hook.pull"]}
    (said,) = [line for line in problems_of(flat) if "for ever" in line]
    assert said == "These wait for each other for ever: hook.hang, hook.pull."


def test_whoever_may_be_dropped_is_dropped_and_the_sheet_is_still_sound() -> None:
    for ident in all_ids(program_flat()):
        if why_not_dropped(ident):
            continue
        flat = program_flat()
        drop(ident)(flat)
        if not any(ident in flat[f"steps/{one}/after"] for one in all_ids(flat)):
            assert problems_of(flat, FIGURES) == [], ident
            assert ident not in sheet_by(flat)["steps"]


def test_a_caution_in_the_shops_words_is_read_beside_the_programs() -> None:
    flat = program_flat() | {
        "steps/cook.boil/caution": "Foam climbs: gas off.",
        "steps/setup.tub/say": "Fill the blue tub",
    }
    steps = sheet_by(flat)["steps"]
    assert steps["cook.boil"]["caution"] == (
        "Foam climbs: gas off. · Boil-over: flame off, step back."
    )
    assert steps["setup.tub"]["cue"].startswith("Fill the cool tub, forearm deep · ")
    longer = "Boil-over: flame off, step back. Lid beside it."
    assert (
        way_of(flat | {"steps/cook.boil/caution": longer}).steps["station"][1]["step"][3]["caution"]
        == longer
    )


def test_burn_lines_of_the_site_stand_after_the_drills_own() -> None:
    drill = demo_sheet("demo-planned")["burn"]["lines"]
    flat = program_flat() | {"burn/own": ["Burn kit: left of the door"]}
    assert sheet_by(flat)["burn"]["lines"] == [*drill, "Burn kit: left of the door"]


def test_a_dropped_step_comes_back_where_it_stood() -> None:
    flat = program_flat()
    drop("hook.flat")(flat)
    assert restored(flat, "hook.flat") == program_flat()["order/hook"]


@given(st.permutations("abcdef"), st.integers(0, 6))
def test_what_the_program_adds_lands_after_what_it_follows(own: list[str], place: int) -> None:
    was = list("abcdef")
    now = [*was[:place], "new", *was[place:]]
    merged = merged_order(was, now, own)
    assert [step for step in merged if step != "new"] == own
    before = merged[merged.index("new") - 1] if merged.index("new") else None
    assert before == (was[place - 1] if place else None)


def test_an_upgrade_under_an_edited_way_is_told_and_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    own = own_of(program_flat() | {"steps/hook.pull/cue": "Ours", "steps/hook.flat/cue": "Too"})
    newer = program_flat() | {"steps/hook.pull/cue": "Theirs", "steps/cook.lid/cue": "New"}
    monkeypatch.setattr(own_way, "programs_flat", lambda: newer)
    old = "Silver, pearl, dead white; it starts to crackle."
    assert both_changed(own) == {"steps/hook.pull/cue": (old, "Theirs", "Ours")}
    assert applied(own)["steps/hook.pull/cue"] == "Ours"
    assert applied(own)["steps/cook.lid/cue"] == "New"
    kept = settled(own, "steps/hook.pull/cue", ours=True)
    assert both_changed(kept) == {}
    assert applied(kept)["steps/hook.pull/cue"] == "Ours"
    given_up = settled(own, "steps/hook.pull/cue", ours=False)
    assert both_changed(given_up) == {}
    assert applied(given_up)["steps/hook.pull/cue"] == "Theirs"
    # Editing something else settles nothing by itself.
    edited = own_of(applied(own) | {"steps/hook.hang/cue": "More"}, own)
    assert both_changed(edited) == both_changed(own)


def test_words_for_a_step_the_program_has_no_longer_wait_for_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    whole = program_flat()
    own = own_of(whole | {"steps/hook.pull/cue": "Ours"})
    without = {p: v for p, v in whole.items() if not p.startswith("steps/hook.pull/")}
    monkeypatch.setattr(own_way, "programs_flat", lambda: without)
    assert "steps/hook.pull/cue" not in applied(own)
    kept = own_of(applied(own), own)
    monkeypatch.setattr(own_way, "programs_flat", lambda: whole)
    assert applied(kept)["steps/hook.pull/cue"] == "Ours"
