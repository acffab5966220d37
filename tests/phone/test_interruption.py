"""A phone that dies: another goes on in its place, and a phone that is missed is asked for."""

from __future__ import annotations

import json
import os
import signal
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Error, Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.phone.conftest import PRESS, at_the_roller, stand
from tests.phone.test_keeping import IN_CACHES, browser_of
from tests.play.crew import OWN_LINES
from tests.programs import Program, beside, running

HOT, NEXT = "demo-handover", "demo-planned"
STAGE = "document.querySelector('.stage')?.textContent"
ASKED = "[...document.querySelectorAll('.ask-bar')].some((b) => b.textContent.includes('{}'))"
# How the flame of the planned boil comes to be on, without going through its set-up.
LIGHT = """
from shop.store import access, append
append.office_event(shop_id=access.only_shop().id, batch="demo-planned", kind="step_done", body={},
                    by="maren", station="kettle", step="cook.light")
answer = "lit"
"""
ANSWERS = """
import json
from shop.models import Event
answer = [json.loads(line) for line in Event.objects.values_list("line", flat=True)
          if '"stood_in"' in line]
"""
# The rule itself, in the browser that has it: `[name, sheet, state, known]` → what it asks.
RULE = """async ([name, sheet, state, known]) => {
  const boot = document.querySelector('script[type=module]').src;
  const rules = await import(boot.replace('boot.js', 'record/silence.js'));
  return rules[name](sheet, state, known).map(({ station, since }) => [station, since]);
}"""
LOW_BATTERY = """navigator.getBattery = async () =>
  Object.assign(new EventTarget(), { level: 0.12, charging: false });"""


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    with running(tmp_path_factory.mktemp("interruption") / "data", "demo") as started:
        yield started


@pytest.fixture(scope="module")
def mate(
    playwright: Playwright, program: Program, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[BrowserContext]:
    """A phone that is added, and on which nobody ever said who presses."""
    with phone(playwright, tmp_path_factory.mktemp("mate") / "phone") as context:
        context.add_init_script(LOW_BATTERY)
        page = context.pages[0]
        page.goto(f"http://localhost:{program.port}/floor/#add={add_phone(program.data)['code']}")
        page.get_by_text("Who presses?").first.wait_for(timeout=30_000)
        page.locator(".row", has_text="Isolde").wait_for(timeout=30_000)
        wait_true(page, f"{STAGE} === 'at the shop'")
        yield context


def test_an_added_phone_keeps_all_of_the_app(mate: BrowserContext) -> None:
    """A first visit does with a part of it; whoever is added has the rest a moment later."""
    page, static = mate.pages[0], Path(__file__).parents[2] / "static"
    every = {path.relative_to(static).as_posix() for path in static.glob("js/**/*.js")}
    wait_true(page, f"({IN_CACHES})().then((all) => all.some((p) => p.includes('/rest-')))")
    kept = page.evaluate(IN_CACHES)
    assert every <= {path.split("/", 4)[-1] for path in kept}


def kill(profile: Path) -> None:
    for pid in browser_of(profile):
        os.kill(pid, signal.SIGKILL)


def go(page: Page, program: Program, place: str) -> None:
    page.goto(f"http://localhost:{program.port}/floor/#/{place}")
    wait_true(page, f"location.hash === '#/{place}'")
    page.locator("#app .screen").first.wait_for()


ROLLER_KEY = ".places[data-pattern=dot] button:has-text('Roller')"
ROLLER_ROW = "button.row:has-text('Roller')"
UP = ".rail .up"
FROM = {
    "": [ROLLER_KEY],
    f"b/{HOT}": [ROLLER_ROW],
    f"b/{NEXT}": [ROLLER_KEY],
    f"b/{HOT}/packing": [UP, ROLLER_ROW],
    f"b/{NEXT}/setup": [UP, ROLLER_KEY],
    f"b/{HOT}/back": [UP, ROLLER_ROW],
    "people": [UP, ROLLER_KEY],
    "phone": [UP, ROLLER_KEY],
    "earlier": [UP, ROLLER_KEY],
}


def test_after_a_killed_browser_another_phone_is_at_the_place_in_two_presses(
    playwright: Playwright, program: Program, mate: BrowserContext, tmp_path: Path
) -> None:
    """Whatever the other phone shows, and with nobody's name chosen on it."""
    page = mate.pages[0]
    with suppress(Error), phone(playwright, tmp_path / "dies") as context:
        stand(context.pages[0], program)
        context.pages[0].evaluate(PRESS)
        wait_true(context.pages[0], f"{STAGE} === 'at the shop'")
        rods = context.pages[0].locator(".station .number").inner_text()
        kill(tmp_path / "dies")
    for place, presses in FROM.items():
        go(page, program, place)
        assert len(presses) <= 2
        for key in presses:
            page.locator(key).first.click()
        page.locator(".station .finish").wait_for()
        assert page.url.endswith(f"#/b/{HOT}/roller"), place
    assert page.locator(".station .number").inner_text() == rods
    # The first one, started anew, is where it stood.
    with phone(playwright, tmp_path / "dies") as context:
        again = context.pages[0]
        again.goto(f"http://localhost:{program.port}/floor/")
        again.locator(".station .finish").wait_for()
        assert again.url.endswith(f"#/b/{HOT}/roller")


def test_work_goes_on_with_no_name_and_the_name_is_asked_for_in_a_bar(
    program: Program, mate: BrowserContext
) -> None:
    page = mate.pages[0]
    at_the_roller(page, program)
    page.wait_for_timeout(1600)
    page.evaluate(PRESS)
    wait_true(page, f"{STAGE} === 'at the shop'")
    assert [made["by"] for made in own_events(page)][-1] == ""
    page.locator(".bar", has_text="Who presses?").get_by_text("Say who").click()
    page.locator(".row", has_text="Isolde").click()
    page.locator(".station .finish").wait_for()
    assert page.locator(".bar", has_text="Who presses?").count() == 0
    page.wait_for_timeout(1600)
    page.evaluate(PRESS)
    wait_true(page, f"({OWN_LINES})().then((all) => all.length >= 2)")
    assert [made["by"] for made in own_events(page)][-1] == "isolde"


def own_events(page: Page) -> list[dict[str, Any]]:
    made = [json.loads(line) for line in page.evaluate(OWN_LINES)]
    return sorted(made, key=lambda event: int(event["seq"]))


def test_a_low_battery_is_said_until_somebody_has_seen_it(
    program: Program, mate: BrowserContext
) -> None:
    page = mate.pages[0]
    go(page, program, "phone")
    bar = page.locator(".bar", has_text="Battery 12 %: charge it or change phones")
    bar.wait_for()
    bar.get_by_text("Seen").click()
    bar.wait_for(state="detached")


def test_a_silent_phone_at_the_flame_is_asked_about_until_one_stands_in(
    playwright: Playwright, program: Program, mate: BrowserContext, tmp_path: Path
) -> None:
    page = mate.pages[0]
    with ExitStack() as stack:
        kettle, hook = (
            stack.enter_context(phone(playwright, tmp_path / name)) for name in ("kettle", "hook")
        )
        stack.enter_context(suppress(Error))
        stand(hook.pages[0], program, f"{NEXT}/hook")
        stand(kettle.pages[0], program, f"{NEXT}/kettle")
        assert beside(program.data, LIGHT) == "lit"
        at_the_roller(page, program, f"{NEXT}/table")
        for each in (kettle.pages[0], hook.pages[0], page):
            wait_true(each, f"{STAGE} === 'at the shop'")
        page.wait_for_timeout(3000)
        kill(tmp_path / "kettle")
        # The other boil's last phone was closed long ago: it is asked about here.
        page.locator(".ask-bar", has_text="Roller: who is there?").wait_for(timeout=60_000)
        for each in (page, hook.pages[0]):
            wait_true(each, ASKED.format("Kettle’s flame? Its phone is silent"), 75)
        bar = page.locator(".ask-bar", has_text="Kettle’s flame?")
        assert "Maren pressed there last" in bar.inner_text()
        bar.get_by_text("I watch it").click()
        page.locator(".station .finish").wait_for()
        assert page.url.endswith(f"#/b/{NEXT}/kettle")
        for each in (page, hook.pages[0]):
            wait_true(each, "!" + ASKED.format("Kettle"))
        [answer] = beside(program.data, ANSWERS)
        assert (answer["station"], answer["by"], answer["batch"]) == ("kettle", "isolde", NEXT)
        no_news(hook)


def no_news(hook: BrowserContext) -> None:
    """A phone that is cut off itself can't know, and asks in other words; one answer is enough."""
    page = hook.pages[0]
    hook.set_offline(True)
    wait_true(page, f"{STAGE} !== null", 5)
    page.wait_for_timeout(7000)
    # Half a minute later by this phone's clock; what it knew of the shop's is gone with the jump.
    page.evaluate("(() => { const was = Date.now; Date.now = () => was() + 40000; })()")
    wait_true(page, ASKED.format("Kettle’s flame? No news here for"))
    page.locator(".ask-bar", has_text="Kettle").get_by_text("It is watched").click()
    wait_true(page, "!" + ASKED.format("Kettle"))
    assert page.url.endswith(f"#/b/{NEXT}/hook")


SHEET: dict[str, Any] = {
    "batch": "a",
    "stations": [{"id": name, "steps": [f"{name}.on"]} for name in ("table", "kettle", "block")],
    "steps": {f"{n}.on": {"station": n, "after": []} for n in ("table", "kettle", "block")},
    "hot_scene": {"from": "", "to": "kettle.on"},
}
LIT: dict[str, Any] = {
    **{"phase": "open", "moments": {"lit": 1}, "steps": {}, "dropped": [], "figures": {}},
    **{"stood_in": {}, "at_stations": {}},
}


def at(station: str, heard: int | None, batch: str = "a") -> dict[str, Any]:
    return {"device": f"{station}{heard}", "station": station, "batch": batch, "heard": heard}


def asked(mate: BrowserContext, name: str, state: dict[str, Any], **known: Any) -> Any:
    whole = {"phones": [], "own": "", "now": 1_030, "limit": 30, **known}
    return mate.pages[0].evaluate(RULE, [name, SHEET, state, whole])


def test_a_station_is_asked_about_by_its_newest_phone_and_answered_since(
    mate: BrowserContext,
) -> None:
    def silent(*phones: dict[str, Any], own: str = "", **state: Any) -> Any:
        return asked(mate, "silent", {**LIT, **state}, phones=list(phones), own=own)

    kettle = at("kettle", 999)
    assert silent(at("kettle", 1_000)) == []
    assert silent(kettle) == [["kettle", 999]]
    assert silent(kettle, at("kettle", 1_020)) == []
    assert silent(at("kettle", None), at("kettle", 900, "b"), at("", 900)) == []
    assert silent(kettle, own="kettle") == []
    # The flame comes first; when it has been poured the kettle has nothing left.
    assert silent(at("table", 900), kettle) == [["kettle", 999], ["table", 900]]
    poured = {"kettle.on": {"state": "done"}}
    assert silent(at("table", 900), kettle, steps=poured) == [["table", 900]]
    # Somebody stood in since; heard again and silent anew, it is asked again.
    stood = {"kettle": {"by": "tobit", "at": 999}}
    assert silent(kettle, stood_in=stood) == []
    assert silent(at("kettle", 1_000 - 1), stood_in={"kettle": {"by": "x", "at": 998}}) != []
    assert silent(kettle, stood_in={"table": stood["kettle"]}) == [["kettle", 999]]


def test_a_phone_that_is_cut_off_asks_once_about_the_flame_or_where_others_worked_last(
    mate: BrowserContext,
) -> None:
    def unknown(since: int, own: str = "", **state: Any) -> Any:
        known = {"phones": [at("table", 5)], "own": own, "since": since}
        return asked(mate, "unknown", {**LIT, **state}, **known)

    worked = {"kettle": {"by": "maren", "at": 10}, "block": {"by": "greta", "at": 20}}
    poured = {"kettle.on": {"state": "done"}}
    assert unknown(1_000, at_stations=worked) == []
    assert unknown(999, at_stations=worked) == [["kettle", 999]]
    assert unknown(999, at_stations=worked, steps=poured) == [["block", 999]]
    assert unknown(999, own="kettle", at_stations=worked) == [["block", 999]]
    assert unknown(999) == [["table", 999]]
    assert unknown(999, own="table") == []
    assert unknown(999, stood_in={"table": {"by": "pim", "at": 1_000}}) == []
