"""The same fold, graph, cards and words in Python and in the browser, to the last byte."""

from typing import Any

import pytest
from playwright.sync_api import Page

from shop.demo.scenario import demo_sheet
from shop.plan.canonical import canonical
from shop.record.blocks import block_mass, part_masses
from shop.record.fold import fold
from shop.record.handover import card, glance, spots
from shop.record.kinds import ALL_SHAPES
from shop.record.live import history as look_back
from shop.record.may import may
from shop.record.order import in_order
from shop.record.reading import fixed_value, to_unit
from shop.record.steps import in_hot_scene, in_zone, station_view
from shop.record.words import FORMS, say, say_range
from tests.record.conftest import in_browser
from tests.record.histories import SHEET, START, history
from tests.record.test_fold import made

FOLD_ALL = """return given.histories.map((events) => {
  const state = fold.fold(given.sheet, events), now = given.now;
  return canonical.canonical([state, fold.history(events), handover.card(given.sheet, state, now),
    handover.glance(given.sheet, state, now),
    handover.spots(handover.card(given.sheet, state, now)),
    given.sheet.stations.map((s) => steps.stationView(given.sheet, state, s.id)),
    steps.hotScene(given.sheet, state) ? 1 : 0, steps.inZone(given.sheet, state) ? 1 : 0]);
});"""


def python_side(events: list[dict[str, Any]]) -> str:
    state = fold(SHEET, events)
    views = [station_view(SHEET, state, s["id"]) for s in SHEET["stations"]]
    flags = [int(in_hot_scene(SHEET, state)), int(in_zone(SHEET, state))]
    whole = card(SHEET, state, START)
    cards = [whole, glance(SHEET, state, START), spots(whole)]
    return canonical([state, look_back(in_order(events)), *cards, views, *flags])


@pytest.mark.parametrize("many", [1_000, pytest.param(10_000, marks=pytest.mark.long)])
def test_generated_histories_give_the_same_bytes(page: Page, many: int) -> None:
    for first in range(0, many, 250):
        histories = [history(seed, seed % 70) for seed in range(first, first + 250)]
        given = {"sheet": SHEET, "histories": histories, "now": START}
        for events, text in zip(histories, in_browser(page, FOLD_ALL, given), strict=True):
            assert text == python_side(events)


GROW = """const wrong = [];
given.histories.forEach((events, i) => {
  const folding = new fold.Folding(given.sheet);
  for (let n = 0; n <= events.length; n += 1 + (n + i) % 3) {
    const some = events.slice(0, n), grown = canonical.canonical(folding.state(some));
    if (grown !== canonical.canonical(fold.fold(given.sheet, some))) wrong.push([i, n]);
  }
});
return wrong;"""


def test_a_fold_that_goes_on_gives_what_a_new_one_gives(page: Page) -> None:
    arriving = [history(seed, 60) for seed in range(60)]
    histories = [*arriving, *(in_order(events) for events in arriving)]
    assert in_browser(page, GROW, {"sheet": SHEET, "histories": histories}) == []


def test_the_kinds_and_their_bodies_are_the_same(page: Page) -> None:
    assert in_browser(page, "return kinds.SHAPES") == ALL_SHAPES


def test_who_may_what_is_the_same(page: Page) -> None:
    sheet = demo_sheet("demo-planned")
    cases = [
        [person, act]
        for person in [*(p["id"] for p in sheet["people"]), "nobody"]
        for act in ["have_boil", "open_boil", "close_boil", "drop_steps", "sign_skill", "fly"]
    ]
    for known in (sheet, {"people": sheet["people"]}):
        here = [may(known, person, act) for person, act in cases]
        given = {"sheet": known, "cases": cases}
        body = "return given.cases.map(([person, act]) => may.may(given.sheet, person, act))"
        assert in_browser(page, body, given) == here
        assert len(set(here)) == (2 if "roles" in known else 1)


def test_values_are_said_in_the_same_words(page: Page) -> None:
    values = [0, -1, 5, 499, 500, 1499, 9_999, 119_999, 120_000, 152_300, 999_950, 8_420_000, 10**9]
    cases = [
        (value, spread, unit, wanted, places)
        for value in [*values, *(-v for v in values), None]
        for spread in (0, 30_000)
        for unit in FORMS
        for wanted in ("", "degF", "lb", "in")
        for places in (0, 1)
    ]
    here = [[say(v, u, w, p), say_range(v, s, u, w, p)] for v, s, u, w, p in cases]
    body = """return given.map(([v, s, u, w, p]) =>
      [words.say(v, u, w, p), words.sayRange(v, s, u, w, p)])"""
    assert in_browser(page, body, cases) == here


def test_readings_turn_into_fixed_units_the_same_way(page: Page) -> None:
    records = SHEET["records"]
    cases = [
        [what, unit, n, d]
        for what in ("peak", "poured")
        for unit in records[what]["units"]
        for n in (-4050, -1, 0, 1, 1523, 3041, 2**50)
        for d in (1, 10, 1000)
    ]
    body = """return given.cases.map(([what, unit, n, d]) => {
      const fixed = reading.fixedValue(given.records[what], unit, n, d);
      const safe = Number.isSafeInteger(fixed);
      return safe ? [fixed, reading.toUnit(given.records[what], unit, fixed)] : null; })"""
    answers = in_browser(page, body, {"cases": cases, "records": records})
    for (what, unit, n, d), answer in zip(cases, answers, strict=True):
        fixed = fixed_value(records[what], unit, n, d)
        wanted = [fixed, to_unit(records[what], unit, fixed)] if abs(fixed) < 2**53 else None
        assert answer == wanted


def test_parts_weigh_the_same_here_and_there_and_blocks_weigh_the_log(page: Page) -> None:
    sheet = demo_sheet("demo-planned")
    weighed = {"yellow": 1_230_000, "brown": 470_000}
    events = [
        made(
            "reading_taken",
            {"what": f"{p}_weighed", "n": mg, "d": 1000, "unit": "g", "instrument": "", "how": ""},
            seq=n,
            batch=sheet["batch"],
        )
        for n, (p, mg) in enumerate(weighed.items(), 1)
    ]
    nothing: dict[str, Any] = {"figures": {}}
    for state in (fold(sheet, []), fold(sheet, events), nothing):
        masses = part_masses(sheet, state)
        body = "return Object.fromEntries(blocks.partMasses(given.sheet, given.state))"
        assert in_browser(page, body, {"sheet": sheet, "state": state}) == masses
        all_blocks = [block_mass(sheet, state, block["id"]) for block in sheet["blocks"]]
        log = state["figures"].get("log_mass_forecast")
        # To the milligram each part is rounded to.
        known = [mass for mass in all_blocks if mass is not None]
        assert abs(sum(known) - (log or 0)) <= len(masses)
        assert len(known) == (len(all_blocks) if log else 0)
