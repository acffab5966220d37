"""Signing in at a station: by name and PIN, without a network too; never while it is hot."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.phone.conftest import PRESS
from tests.play.crew import OWN_LINES
from tests.programs import Program, beside, running, wait_until

SET_PINS = """
from shop.store import access, pins
shop = access.only_shop()
answer = {who: pins.set_pin(shop_id=shop.id, person=who, pin=pin)
          for who, pin in (("maren", "482915"), ("tobit", "7046"), ("greta", "903172"))}
"""
LOCK = """
from shop.store import access, phones
shop = access.only_shop()
answer = [phones.{}(shop_id=shop.id, device={!r})]
"""
KNOWS_PINS = """new Promise((done) => {
  indexedDB.open('kettleside').onsuccess = ({ target: { result: db } }) => {
    db.transaction('phone').objectStore('phone').get('phone').onsuccess = ({ target }) => {
      db.close();
      done(target.result.crew.filter(({ pin }) => pin).length);
    };
  };
})"""
COLD, HOT = "demo-planned/packing", "demo-handover/roller"
# The phone asks by itself too: here only a press brings the network.
PRESSED_FIRST = """() => {
  const real = window.fetch;
  window.fetch = () => Promise.reject(new TypeError('nobody pressed'));
  addEventListener('click', () => { window.fetch = real; }, { capture: true });
}"""
LATER = "document.querySelector('.panel .keys button')?.click()"


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    with running(tmp_path_factory.mktemp("signing") / "data", "demo") as started:
        beside(started.data, SET_PINS)
        yield started


@pytest.fixture
def context(playwright: Playwright, program: Program, tmp_path: Path) -> Iterator[BrowserContext]:
    with phone(playwright, tmp_path / "phone") as made:
        page = made.pages[0]
        page.goto(f"http://localhost:{program.port}/floor/#add={add_phone(program.data)['code']}")
        page.locator(".row", has_text="Pim").click(timeout=30_000)
        page.locator(".row", has_text="L6329C").wait_for()
        wait_true(page, f"{KNOWS_PINS}.then((n) => n === 3)")
        yield made


def stand(page: Page, program: Program, place: str) -> None:
    page.goto(f"http://localhost:{program.port}/floor/#/b/{place}")
    page.locator(".station .finish").wait_for()


def choose(page: Page, name: str) -> None:
    page.locator(".rail .who").click()
    page.locator(".row", has_text=name).click()


def type_pin(page: Page, pin: str) -> None:
    for figure in pin:
        page.locator(".pin .pad").get_by_text(figure, exact=True).click()
    page.locator(".pin .pad .go").click()


def said(page: Page) -> str:
    wait_true(page, "!['', 'Looking'].includes(document.querySelector('.pin .wrong').textContent)")
    return page.locator(".pin .wrong").inner_text()


def press(page: Page) -> dict[str, Any]:
    """One press at a station, and the entry that came of it."""
    before = len(page.evaluate(OWN_LINES))
    page.evaluate(PRESS)
    page.evaluate(LATER)
    wait_until(lambda: len(page.evaluate(OWN_LINES)) > before, 10)
    found: dict[str, Any] = json.loads(page.evaluate(OWN_LINES)[before])
    return found


def test_a_pin_is_asked_once_and_the_shop_answers(
    context: BrowserContext, program: Program
) -> None:
    page = context.pages[0]
    stand(page, program, COLD)
    assert "signed" not in press(page)
    choose(page, "Maren")
    type_pin(page, "482915")
    page.locator(".station .finish").wait_for()
    assert (found := press(page))["signed"] == "shop"
    assert found["by"] == "maren"
    # Another and back: two presses each, and no PIN a second time.
    choose(page, "Pim")
    choose(page, "Maren")
    page.locator(".station .finish").wait_for()
    assert press(page)["signed"] == "shop"


def test_without_a_network_the_phone_itself_looks(
    context: BrowserContext, program: Program
) -> None:
    page = context.pages[0]
    stand(page, program, COLD)
    context.set_offline(True)
    choose(page, "Tobit")
    type_pin(page, "7045")
    assert "not the PIN" in said(page)
    type_pin(page, "7046")
    page.locator(".station .finish").wait_for()
    assert press(page)["signed"] == "phone"
    choose(page, "Greta")
    page.get_by_role("button", name="Without a PIN").click()
    assert (found := press(page))["by"] == "greta"
    assert "signed" not in found


@pytest.mark.parametrize("offline", [False, True])
def test_guesses_are_limited_through_a_restart(
    context: BrowserContext, program: Program, offline: bool
) -> None:
    page = context.pages[0]
    stand(page, program, COLD)
    context.set_offline(offline)
    choose(page, "Greta")
    for _ in range(5):
        type_pin(page, "111222")
        assert "not the PIN" in said(page)
    page.reload()
    page.locator(".row", has_text="Greta").click()
    # The right one too: nobody may learn by trying which it is.
    type_pin(page, "903172")
    assert "Wait" in said(page)


def test_between_lit_and_last_cut_a_name_is_two_presses_and_nothing_is_asked(
    context: BrowserContext, program: Program
) -> None:
    page = context.pages[0]
    stand(page, program, HOT)
    choose(page, "Maren")
    page.locator(".station .finish").wait_for()
    assert (found := press(page))["by"] == "maren"
    assert "signed" not in found


def test_pressing_for_somebody_else_is_shown_and_recorded(
    context: BrowserContext, program: Program
) -> None:
    page = context.pages[0]
    stand(page, program, HOT)
    page.locator(".rail .who").click()
    page.get_by_role("button", name="Press for somebody else").click()
    page.locator(".panel").get_by_text("Tobit", exact=True).click()
    page.locator(".station .finish").wait_for()
    assert "Pim for Tobit" in page.locator(".rail .who").inner_text()
    found = press(page)
    assert (found["by"], found["for"]) == ("pim", "tobit")
    page.locator(".stamps .back-key").click()
    page.goto(f"http://localhost:{program.port}/floor/#/b/demo-handover/back")
    page.locator(".row", has_text="Tobit (pressed by Pim)").first.wait_for()


def test_a_locked_out_phone_shows_nothing_of_the_shop_and_knows_no_pin(
    context: BrowserContext, program: Program
) -> None:
    page = context.pages[0]
    stand(page, program, COLD)
    device = json.loads(page.evaluate(OWN_LINES)[0])["device"] if press(page) else ""
    page.goto(f"http://localhost:{program.port}/floor/#/b/demo-planned")
    beside(program.data, LOCK.format("lock_out", device))
    page.get_by_text("This phone is locked out").first.wait_for(timeout=40_000)
    assert page.evaluate(KNOWS_PINS) == 0
    context.set_offline(True)
    page.reload()
    page.get_by_text("This phone is locked out").first.wait_for()
    assert "Beehive" not in page.locator("body").inner_text()
    page.evaluate(PRESSED_FIRST)
    context.set_offline(False)
    beside(program.data, LOCK.format("let_in", device))
    page.get_by_role("button", name="Ask the shop again").click()
    page.locator(".row", has_text="Kettle").first.wait_for(timeout=20_000)
