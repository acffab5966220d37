"""How long the oldest waiting part sticks: from when it was laid warm, older by the minute, honest
when it is over."""

from typing import Any

import pytest
from playwright.sync_api import Page

from shop.demo.scenario import demo_sheet
from shop.record.fold import fold
from tests.record.conftest import in_browser
from tests.record.histories import START
from tests.record.test_fold import made

SHEET = demo_sheet("demo-planned")
PARTS = {part["id"]: part for part in SHEET["parts"]}
MINUTE = 60_000
Event = dict[str, Any]


def at(minute: float, kind: str, body: Any, *, seq: int, **more: Any) -> Event:
    moment = START + round(minute * MINUTE)
    return made(kind, body, seq=seq, batch=SHEET["batch"], happened=moment, **more)


def done(minute: float, step: str, *, seq: int) -> Event:
    return at(minute, "step_done", {}, seq=seq, step=step)


def warm(minute: float, celsius: int, *, seq: int) -> Event:
    body = {"what": "part_temperature", "n": celsius, "d": 1, "unit": "degC"}
    return at(minute, "reading_taken", {**body, "instrument": "", "how": "inside"}, seq=seq)


def waits(page: Page, events: list[Event], minute: float, block: str, sheet: Any = SHEET) -> Any:
    """What `oldestWaiting` says at a minute of the boil."""
    given = {
        **{"sheet": sheet, "state": fold(sheet, events), "block": block},
        "now": START + round(minute * MINUTE),
    }
    body = """return sticking.oldestWaiting(given.sheet, given.state,
      given.sheet.steps[`block.${given.block}`], given.now)"""
    return in_browser(page, body, given)


LAID = [done(0, "block.lay-out", seq=1)]


def test_a_block_that_is_not_begun_has_nothing_waiting(page: Page) -> None:
    assert waits(page, [], 5, "hive") is None


def test_its_thinnest_part_is_told_as_a_range_and_loses_a_minute_a_minute(page: Page) -> None:
    # As unsure as the shop's number says: ± 30 % of the part's own time on the board.
    opens = PARTS["lines"]["open_ms"]
    for minute in (0, 1, 2.5):
        found = waits(page, LAID, minute, "hive")
        assert (found["part"]["id"], found["since"]) == ("lines", START)
        assert found["low"] == pytest.approx(0.7 * opens - minute * MINUTE, abs=1)
        assert found["high"] == pytest.approx(1.3 * opens - minute * MINUTE, abs=1)


def test_the_block_s_own_start_counts_and_the_sugar_s_where_that_came_later(page: Page) -> None:
    events = [*LAID, done(4, "block.hive", seq=2)]
    assert waits(page, events, 5, "door")["since"] == START + 4 * MINUTE
    later = [*events, done(4.5, "colour.brown", seq=3)]
    assert waits(page, later, 5, "door")["since"] == START + 4.5 * MINUTE
    # White comes off the hook.
    pulled = [*events, done(4.75, "hook.flat", seq=3)]
    assert waits(page, pulled, 5, "field")["since"] == START + 4.75 * MINUTE


def test_the_oldest_is_told_though_another_goes_cold_sooner(page: Page) -> None:
    # Brown was cut again after the yellow: the layers lie longest, the lines are thinner.
    events = [*LAID, done(2, "colour.brown", seq=2)]
    assert waits(page, events, 3, "hive")["part"]["id"] == "layers"


def test_past_its_time_it_is_over_until_it_is_read_warm_again(page: Page) -> None:
    assert waits(page, LAID, 30, "hive")["high"] < 0
    warmed = [*LAID, warm(30, 85, seq=2)]
    opens = PARTS["lines"]["open_ms"]
    assert waits(page, warmed, 30, "hive")["high"] == pytest.approx(1.3 * opens, abs=1)
    # At 77 °C seven fifteenths of the way from 85 to 70 are left; at 69 °C nothing is.
    half = waits(page, [*LAID, warm(30, 77, seq=2)], 30, "hive")["high"]
    assert half == pytest.approx(1.3 * opens * 7 / 15, abs=1)
    assert waits(page, [*LAID, warm(30, 69, seq=2)], 30, "hive")["high"] <= 0


def test_a_sheet_of_before_has_the_usual_doubt_or_says_nothing(page: Page) -> None:
    numbers = [n for n in SHEET["numbers"] if n["id"] != "open_doubt"]
    old = {**SHEET, "numbers": numbers}
    assert waits(page, LAID, 1, "hive", old) == waits(page, LAID, 1, "hive")
    bare = [{k: v for k, v in part.items() if k != "open_ms"} for part in SHEET["parts"]]
    assert waits(page, LAID, 1, "hive", {**SHEET, "parts": bare}) is None
