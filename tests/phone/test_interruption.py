"""A phone that dies: another goes on in its place, and the one started anew is where it stood."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.phone.conftest import PRESS, at_the_roller, stand
from tests.phone.dying import dying_phone, kill
from tests.phone.test_keeping import IN_CACHES
from tests.play.crew import OWN_LINES
from tests.programs import Program, running

HOT, NEXT = "demo-handover", "demo-planned"
STAGE = "document.querySelector('.stage')?.textContent"
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
    parts = ("js/**/*.js", "guide/*", "cues/*")
    every = {p.relative_to(static).as_posix() for part in parts for p in static.glob(part)}
    # The desk's own modules are no part of the app.
    every = {name for name in every if not name.startswith(("js/office/", "js/preview/"))}
    wait_true(page, f"({IN_CACHES})().then((all) => all.some((p) => p.includes('/rest-')))")
    kept = page.evaluate(IN_CACHES)
    assert every <= {path.split("/", 4)[-1] for path in kept}


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
    with dying_phone(playwright, tmp_path / "dies") as context:
        stand(context.pages[0], program)
        context.pages[0].evaluate(PRESS)
        wait_true(context.pages[0], f"{STAGE} === 'at the shop'")
        rods = context.pages[0].locator(".station [data-at=number]").inner_text()
        kill(tmp_path / "dies")
    for place, presses in FROM.items():
        go(page, program, place)
        assert len(presses) <= 2
        for key in presses:
            page.locator(key).first.click()
        page.locator(".station .finish").wait_for()
        assert page.url.endswith(f"#/b/{HOT}/roller"), place
    assert page.locator(".station [data-at=number]").inner_text() == rods
    # The first one, started anew, is where it stood.
    with phone(playwright, tmp_path / "dies") as context:
        again = context.pages[0]
        again.goto(f"http://localhost:{program.port}/floor/")
        again.locator(".station .finish").wait_for()
        assert again.url.endswith(f"#/b/{HOT}/roller")


def test_a_low_battery_is_said_until_somebody_has_seen_it(
    program: Program, mate: BrowserContext
) -> None:
    page = mate.pages[0]
    go(page, program, "phone")
    bar = page.locator(".bar", has_text="Battery 12 %: charge it or change phones")
    bar.wait_for()
    bar.get_by_text("Seen").click()
    bar.wait_for(state="detached")


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
