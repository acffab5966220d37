"""What hangs on the wall: every station with work once, nobody left out, the most urgent first."""

from typing import Any

from playwright.sync_api import Page

from shop.demo.scenario import demo_sheet
from shop.record.fold import fold
from shop.record.steps import station_view
from tests.record.conftest import in_browser
from tests.record.histories import SHEET, START, history
from tests.record.test_fold import made

DEMO = demo_sheet("demo-planned")
MINUTE = 60_000
Event = dict[str, Any]
LINES = """return wall.wallLines(given.boils, given.now, given.phones ?? []).map((line) =>
  ({ ...line, sheet: undefined, state: undefined, step: line.step?.id ?? '' }));"""


def at(minute: float, kind: str, body: Any, *, seq: int, **more: Any) -> Event:
    moment = START + round(minute * MINUTE)
    return made(kind, body, seq=seq, batch=DEMO["batch"], happened=moment, **more)


def done(minute: float, step: str, *, seq: int) -> Event:
    return at(minute, "step_done", {}, seq=seq, step=step, station=DEMO["steps"][step]["station"])


def lines(page: Page, *boils: tuple[Any, list[Event]], minute: float = 0, **more: Any) -> Any:
    """The wall's lines at a minute of these boils."""
    given = [{"sheet": sheet, "state": fold(sheet, events)} for sheet, events in boils]
    now = START + round(minute * MINUTE)
    return in_browser(page, LINES, {"boils": given, "now": now, **more}, "wall")


def order(found: Any) -> list[str]:
    return [line["station"] for line in found]


def test_of_any_history_each_station_with_work_stands_there_once_with_its_own_next_step(
    page: Page,
) -> None:
    for seed in range(150):
        events = history(seed, seed % 60)
        state = fold(SHEET, events)
        views = {s["id"]: station_view(SHEET, state, s["id"]) for s in SHEET["stations"]}
        found = lines(page, (SHEET, events), minute=5)
        assert len(order(found)) == len(set(order(found)))
        for line in found:
            view = views[line["station"]]
            assert {key: line[key] for key in view} == view
        # What is not on the wall has no work; only a clock keeps a finished station there.
        assert {station for station, view in views.items() if view["now"]} <= set(order(found))
        assert [line["rank"] for line in found] == sorted(line["rank"] for line in found)


OPENED = at(0, "batch_opened", {"sheet": "", "lead": "maren"}, seq=80)
LIT = [OPENED, done(0, "cook.light", seq=1), done(20, "cook.at-140", seq=2)]


def test_hot_sugar_goes_before_everything_and_only_at_the_kettle(page: Page) -> None:
    ring = at(1, "countdown_started", CLOCK, seq=3, station="table")
    found = lines(page, (DEMO, [*LIT, ring]), minute=22)
    assert order(found)[:2] == ["kettle", "table"]
    assert [line["hot"] for line in found].count(True) == 1
    poured = lines(page, (DEMO, [*LIT, ring, done(23, "cook.poured", seq=4)]), minute=24)
    assert order(poured)[0] == "table"
    assert not any(line["hot"] for line in poured)


CLOCK = {"id": "skin", "label": "Skin", "deadline": START + 3 * MINUTE}


def test_a_clock_that_ran_out_goes_before_one_that_runs_and_the_sooner_before_the_later(
    page: Page,
) -> None:
    later = {"id": "lid", "label": "Lid", "deadline": START + 9 * MINUTE}
    events = [
        at(0, "countdown_started", later, seq=1, station="kettle"),
        at(0, "countdown_started", CLOCK, seq=2, station="table"),
    ]
    assert order(lines(page, (DEMO, events), minute=1))[:2] == ["table", "kettle"]
    rung = lines(page, (DEMO, events), minute=4)
    assert [line["clock"]["id"] for line in rung[:2]] == ["skin", "lid"]
    assert rung[0]["rank"] < rung[1]["rank"]
    answered = [*events, at(4, "countdown_stopped", {"id": "skin"}, seq=3)]
    assert order(lines(page, (DEMO, answered), minute=5))[0] == "kettle"


def test_a_clock_of_a_station_that_is_done_is_still_shown(page: Page) -> None:
    packed = [done(n, step, seq=n) for n, step in enumerate(STEPS["packing"], 1)]
    clock = at(9, "countdown_started", CLOCK, seq=90, station="packing")
    found = lines(page, (DEMO, [*packed, clock]), minute=20)
    assert (found[0]["station"], found[0]["step"]) == ("packing", "")
    assert "packing" not in order(lines(page, (DEMO, packed), minute=20))


STEPS = {station["id"]: station["steps"] for station in DEMO["stations"]}


def test_sugar_that_goes_cold_is_urgent_and_what_waits_for_others_is_last(page: Page) -> None:
    found = lines(page, (DEMO, [done(0, "block.lay-out", seq=1)]), minute=1)
    assert found[0]["station"] == "block"
    assert found[0]["sticks"]["high"] > 0
    waits = [bool(line["waits_for"]) for line in found]
    assert waits == sorted(waits)


def test_of_two_boils_the_one_that_was_lit_first_goes_first_where_nothing_else_decides(
    page: Page,
) -> None:
    other = {**DEMO, "batch": "a-later"}
    first = [done(0, "cook.light", seq=1), done(1, "setup.card", seq=2)]
    then = [{**event, "batch": "a-later"} for event in (done(5, "cook.light", seq=1), first[1])]
    found = lines(page, (other, then), (DEMO, first), minute=9)
    by_rank: dict[int, list[str]] = {}
    for line in found:
        by_rank.setdefault(line["rank"], []).append(line["batch"])
    for batches in by_rank.values():
        assert batches == sorted(batches, key=lambda batch: batch == "a-later")


def test_the_hand_is_whoever_pressed_last_or_whose_phone_was_heard_there_since(page: Page) -> None:
    pressed = done(10, "cook.boil", seq=1) | {"by": "tobit"}
    phone = {"device": "x", "batch": DEMO["batch"], "station": "kettle", "by": "maren"}

    def hand(heard: float | None, **more: Any) -> str:
        moment = None if heard is None else START + heard * MINUTE
        phones = [{**phone, "heard": moment, **more}]
        found = lines(page, (DEMO, [pressed]), minute=20, phones=phones)
        return next(str(line["by"]) for line in found if line["station"] == "kettle")

    assert hand(11) == "maren"
    assert hand(9) == "tobit"
    assert hand(None) == "tobit"
    assert hand(11, by="") == "tobit"
    assert hand(11, batch="other") == "tobit"
    assert hand(11, station="wall") == "tobit"


def test_pages_leave_nobody_out_and_show_nobody_twice(page: Page) -> None:
    body = """return given.map(([many, fits, from]) => {
      const lines = Array.from({ length: many }, (_, i) => i);
      const { pages } = wall.pageOf(lines, fits, 0);
      return Array.from({ length: pages }, (_, i) => wall.pageOf(lines, fits, from + i));
    });"""
    cases = [(many, fits, start) for many in range(13) for fits in range(6) for start in (0, 7)]
    for (many, fits, _), pages in zip(cases, in_browser(page, body, cases, "wall"), strict=True):
        shown = [line for one in pages for line in one["lines"]]
        assert sorted(shown) == list(range(many))
        assert all(len(one["lines"]) <= max(fits, 1) for one in pages)
        assert {one["page"] for one in pages} == set(range(1, len(pages) + 1))
