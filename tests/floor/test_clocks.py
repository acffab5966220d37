"""Clocks one can trust: deadlines through sleep, a killed browser and a clock somebody sets; how
late an alarm was; a ring on every phone of its boil until somebody answers."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright

from tests.browsers import phone, wait_true
from tests.floor.listening import READY, count_down, heard, listening, spoken
from tests.phone.conftest import stand
from tests.phone.dying import dying_phone, kill
from tests.programs import Program, beside, running
from tests.record.conftest import page as bare_page

bare = bare_page
KETTLE, TABLE, BATCH = "demo-planned/kettle", "demo-planned/table", "demo-planned"
MINUTE_S, HOUR_MS = 60, 3_600_000
RINGS = "(document.querySelector('.ring-bar .bar-words')?.textContent ?? '')"
CALLS = "'calls' in document.body.dataset"
# The phone's own clock, set by so much [ms] at once; the page's steady clock goes on.
CLOCK = """(() => {
  const real = Date.now;
  window.set = Number(sessionStorage.getItem('set') ?? 0);
  Date.now = () => real() + window.set;
})()"""
SLEEP = """(ms) => { window.set += ms; sessionStorage.setItem('set', window.set); }"""
HIDE = """(hidden) => {
  Object.defineProperty(document, 'hidden', { get: () => hidden, configurable: true });
  document.dispatchEvent(new Event('visibilitychange'));
}"""
GERMAN = """
from shop.models import Person
Person.objects.filter(key="maren").update(language="de")
answer = ""
"""


@pytest.fixture
def program(tmp_path: Path) -> Iterator[Program]:
    with running(tmp_path / "data", "demo") as started:
        yield started


def left(page: Page) -> int:
    """Seconds that the board's clock shows."""
    words = page.locator(".station .clock").inner_text().split()[-1]
    minutes, seconds = words.split(":")
    return int(minutes) * 60 + int(seconds)


def test_a_ring_sounds_on_every_phone_of_the_boil_until_somebody_answers(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with ExitStack() as stack:
        places = {"kettle": KETTLE, "table": TABLE, "other": "demo-handover/roller"}
        phones = {
            name: stack.enter_context(listening(playwright, program, tmp_path / name, place))[1]
            for name, place in places.items()
        }
        count_down(program, BATCH, 12)
        for name in ("kettle", "table"):
            wait_true(phones[name], f"{RINGS}.startsWith('Kettle Lid over by')", 40)
            wait_true(phones[name], "window.heard.filter(({kind}) => kind === 'tone').length >= 6")
            assert "late" not in phones[name].evaluate(RINGS)
        # The other boil's phone shows it, and leaves the noise to those it concerns.
        wait_true(phones["other"], f"{RINGS}.startsWith('Kettle Lid over by')", 40)
        assert heard(phones["other"], "tone") == []
        phones["table"].locator(".ring-bar").get_by_role("button", name="Answer").tap()
        for page in phones.values():
            wait_true(page, f"!({CALLS}) && {RINGS} === ''", 40)
        told = len(heard(phones["kettle"], "tone"))
        phones["kettle"].wait_for_timeout(3000)
        assert len(heard(phones["kettle"], "tone")) == told


def test_an_alarm_that_comes_late_by_the_network_rings_and_says_how_late(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with listening(playwright, program, tmp_path / "phone", KETTLE) as (_, page):
        count_down(program, BATCH, -4 * MINUTE_S - 20)
        wait_true(page, f"{RINGS}.endsWith(', rang 4 min late')", 40)
        wait_true(page, "window.heard.filter(({kind}) => kind === 'recording').length === 5")
        assert spoken(page) == ["lid", "time", "n4", "minutes", "late"]
        # One that is over and unanswered hides none that still runs.
        count_down(program, BATCH, 9 * MINUTE_S, "skin")
        page.locator(".station .clock", has_text="Lid 8:").wait_for(timeout=40_000)


def test_it_says_so_in_german(playwright: Playwright, program: Program, tmp_path: Path) -> None:
    beside(program.data, GERMAN)
    with listening(playwright, program, tmp_path / "phone", KETTLE) as (_, page):
        wait_true(page, "document.documentElement.lang === 'de'", 30)
        count_down(program, BATCH, -4 * MINUTE_S - 20)
        wait_true(page, f"{RINGS}.endsWith(', 4 min zu spät geläutet')", 40)


def test_a_phone_that_slept_rings_when_it_wakes_and_says_how_late(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with listening(playwright, program, tmp_path / "phone", KETTLE, CLOCK) as (context, page):
        count_down(program, BATCH, 2 * MINUTE_S)
        wait_true(page, "document.querySelector('.clock')?.textContent.startsWith('Lid 1:')", 40)
        # Out of sight, the network gone, then frozen: the wall's clock goes on, the page's stands.
        context.set_offline(True)
        page.evaluate(HIDE, True)
        session = context.new_cdp_session(page)
        session.send("Page.setWebLifecycleState", {"state": "frozen"})
        session.send("Runtime.evaluate", {"expression": f"({SLEEP})({7 * MINUTE_S * 1000})"})
        session.send("Page.setWebLifecycleState", {"state": "active"})
        page.evaluate(HIDE, False)
        wait_true(page, f"{RINGS}.includes('rang 5 min late')")
        wait_true(page, CALLS)


@pytest.mark.parametrize("jump", [-HOUR_MS, HOUR_MS])
def test_a_clock_that_somebody_sets_moves_no_deadline(
    playwright: Playwright, program: Program, tmp_path: Path, jump: int
) -> None:
    with listening(playwright, program, tmp_path / "phone", KETTLE, CLOCK) as (context, page):
        count_down(program, BATCH, 10 * MINUTE_S)
        page.locator(".clock", has_text="Lid").wait_for(timeout=40_000)
        context.set_offline(True)
        before, at = left(page), page.evaluate("performance.now()")
        page.evaluate(SLEEP, jump)
        page.wait_for_timeout(3000)
        passed = (page.evaluate("performance.now()") - at) / 1000
        assert abs(before - left(page) - passed) < 3
        assert not page.evaluate(CALLS)
        # Back at the shop nothing jumps either, and what is pressed has the shop's time.
        context.set_offline(False)
        page.wait_for_timeout(6000)
        passed = (page.evaluate("performance.now()") - at) / 1000
        assert abs(before - left(page) - passed) < 3


def test_a_killed_browser_keeps_its_deadline(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    profile = tmp_path / "phone"
    with dying_phone(playwright, profile) as context:
        page = put_at_the_kettle(context.pages[0], program)
        count_down(program, BATCH, 10 * MINUTE_S)
        page.locator(".clock", has_text="Lid").wait_for(timeout=40_000)
        page.wait_for_timeout(1000)
        before, at = left(page), time.monotonic()
        kill(profile)
    with phone(playwright, profile) as context:
        context.set_offline(True)
        page = context.pages[0]
        page.goto(f"http://localhost:{program.port}/floor/#/b/{KETTLE}")
        page.locator(".clock", has_text="Lid").wait_for(timeout=40_000)
        assert abs(before - left(page) - (time.monotonic() - at)) < 3


def test_what_rang_in_time_is_not_called_late_after_a_kill(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    profile = tmp_path / "phone"
    with dying_phone(playwright, profile) as context:
        page = put_at_the_kettle(context.pages[0], program)
        count_down(program, BATCH, -5)
        wait_true(page, CALLS, 40)
        page.wait_for_timeout(2000)
        kill(profile)
    with phone(playwright, profile) as context:
        context.set_offline(True)
        # Started again five minutes later.
        context.add_init_script(CLOCK.replace("?? 0", "?? 300000"))
        page = context.pages[0]
        page.goto(f"http://localhost:{program.port}/floor/#/b/{KETTLE}")
        wait_true(page, f"{CALLS} && {RINGS}.startsWith('Kettle Lid over by 5:')", 40)
        assert "late" not in page.evaluate(RINGS)


def put_at_the_kettle(page: Page, program: Program) -> Page:
    stand(page, program, KETTLE)
    page.reload()
    page.locator(".station").tap(position={"x": 5, "y": 5})
    wait_true(page, READY, 40)
    return page


# Moves of a phone's clocks, in an order of chance: `[what, ms]` → where its corrected time stands
# against the shop's.
PLAY = """async ([moves, known]) => {
  const { Clock } = await import('/js/store/clock.js');
  let wall = 1_000_000_000_000, steady = 0, real = wall;
  const clock = new Clock(() => wall, () => steady), wrong = [];
  if (known !== null) clock.resume({ offset: known, bound: 20, last: [0, 0] });
  real += known ?? 0;
  for (const [what, ms] of moves) {
    // The wall's clock is set; time passes while somebody looks; or nobody looks, and it sleeps.
    if (what === 'set') { clock.watched = true; clock.checkJump(); wall += ms; }
    if (what === 'passes') { wall += ms; steady += ms; real += ms; }
    if (what === 'sleeps') { clock.checkJump(); clock.watched = false; wall += ms; real += ms; }
    clock.checkJump();
    clock.watched = true;
    wrong.push(Math.abs(clock.now() - real));
  }
  const { offset, bound } = clock;
  return { worst: Math.max(...wrong), offset, bound };
}"""


def moves(seed: int) -> list[tuple[str, int]]:
    chance = random.Random(seed)
    kinds = [
        chance.choice(("set", "set", "passes", "sleeps")) for _ in range(chance.randint(1, 12))
    ]
    sizes = [chance.randint(3_000, 10_000_000) for _ in kinds]
    back = [kind == "set" and chance.random() < 0.5 for kind in kinds]
    return [(k, -size if b else size) for k, size, b in zip(kinds, sizes, back, strict=True)]


@pytest.mark.parametrize("known", [None, 0, 180_000, -90_000])
def test_no_order_of_setting_passing_and_sleeping_moves_the_corrected_time(
    bare: Page, known: int | None
) -> None:
    for seed in range(200):
        played = moves(seed)
        found = bare.evaluate(PLAY, [played, known])
        assert found["worst"] <= 1, (seed, played, found)
        # Nobody vouches for it any more, until the next exchange.
        assert found["bound"] is None or all(kind == "passes" for kind, _ in played)


EXCHANGE = """async () => {
  const { Clock } = await import('/js/store/clock.js');
  let wall = 5_000_000, steady = 0;
  const clock = new Clock(() => wall, () => steady), after = [];
  const note = () => after.push([clock.offset, clock.bound]);
  clock.sample(wall, wall + 40, wall + 20 + 1000); note();
  // Set back during an exchange: no trip takes less than no time.
  const sent = wall; wall -= 3_600_000; clock.sample(sent, wall + 40, 5_001_000); note();
  clock.sample(wall, wall + 60, wall + 30 + 3_601_000); note();
  return after;
}"""


def test_an_exchange_during_which_the_clock_was_set_is_no_measure(bare: Page) -> None:
    assert bare.evaluate(EXCHANGE) == [[1000, 20], [3_601_000, None], [3_601_000, 30]]
