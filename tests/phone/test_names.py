"""Every act that needs a name gets one: on a phone that bears none, by keys, of who came later."""

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, Route

from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.guide.scenes import DONE
from tests.phone.conftest import PRESS
from tests.play.crew import OWN_LINES
from tests.programs import Program, beside, running, wait_until

COLD, HOT = "demo-planned", "demo-handover"
WHO = "document.querySelector('.rail .who')?.textContent"
SHOP = "from shop.store import access, people, pins, read\nshop = access.only_shop().id\n"
RECORD = SHOP + "answer = read.batch_report(access.access_batch(shop, {!r}))"
SET_PIN = SHOP + "answer = pins.set_pin(shop_id=shop, person='maren', pin={!r})"
COMES = SHOP + "answer = people.set_person(shop_id=shop, key='ines', name='Ines', role='spinner')"


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    with running(tmp_path_factory.mktemp("names") / "data", "demo") as started:
        yield started


@pytest.fixture
def context(playwright: Playwright, program: Program, tmp_path: Path) -> Iterator[BrowserContext]:
    """A phone just added: nobody has said who presses."""
    with phone(playwright, tmp_path / "phone") as made:
        page = made.pages[0]
        page.goto(f"http://localhost:{program.port}/floor/#add={add_phone(program.data)['code']}")
        page.locator(".row", has_text="Maren").wait_for(timeout=30_000)
        yield made


def go(page: Page, program: Program, place: str) -> None:
    page.goto(f"http://localhost:{program.port}/floor/#/{place}")
    page.locator("#app > *").last.wait_for()


def made(page: Page) -> list[dict[str, Any]]:
    return [json.loads(line) for line in page.evaluate(OWN_LINES)]


def press(page: Page) -> dict[str, Any]:
    """One press at a cold station, its reading put off; the entry that came of it."""
    before = len(made(page))
    page.evaluate(PRESS)
    page.keyboard.press("Escape")
    wait_until(lambda: len(made(page)) > before, 10)
    return made(page)[before]


def test_a_mate_with_no_name_takes_the_boil_by_name(
    context: BrowserContext, program: Program
) -> None:
    page = context.pages[0]
    go(page, program, f"b/{HOT}/roller")
    page.locator(".station .finish").wait_for()
    page.locator(".rail .burn-key").tap()
    page.locator(".burn li").first.wait_for()
    # Over the drill nobody is asked who they are, or anything that could wait.
    page.wait_for_timeout(1500)
    assert page.locator(".bar").count() == 0
    go(page, program, f"b/{COLD}/kettle")
    page.locator(".alarm-bar").wait_for()
    assert page.locator(".bar").count() == 1
    page.get_by_role("button", name="Take the boil").tap()
    assert "Maren has the boil" in page.evaluate(WHO)
    page.locator(".panel").get_by_text("Tobit", exact=True).tap()
    page.locator(".alarm-bar").get_by_text("Flame off. Tobit has the boil").wait_for()
    assert page.get_by_role("button", name="Take the boil").count() == 0
    taken = [entry for entry in made(page) if entry["kind"] == "boil_taken"]
    assert [entry["by"] for entry in taken] == ["tobit"]


def test_a_key_of_the_card_stays_under_the_finger_while_its_lines_change(
    context: BrowserContext, program: Program
) -> None:
    page = context.pages[0]
    go(page, program, f"b/{COLD}/handover")
    key = page.get_by_role("button", name="Hand over", exact=True).element_handle()
    lines = page.locator(".part").all_inner_texts()
    beside(program.data, DONE.format(["setup.hazards"]))
    wait_until(lambda: page.locator(".part").all_inner_texts() != lines, 20)
    assert key.evaluate("(button) => button.isConnected")


def test_news_that_comes_under_a_finger_waits_until_it_has_lifted(
    context: BrowserContext, program: Program
) -> None:
    page, answers = context.pages[0], list[Route]()
    beside(program.data, DONE.format(["setup.hazards"]))
    go(page, program, f"b/{COLD}/back")
    entry = page.locator(".row").first
    entry.wait_for()
    before = page.locator(".row").count()
    context.route("**/sync/pull**", lambda route: answers.append(route))
    beside(program.data, DONE.format(["setup.room"]))
    while not answers:
        page.wait_for_timeout(50)
    news = answers[0].fetch()
    entry.hover()
    page.mouse.down()
    answers[0].fulfill(response=news)
    page.wait_for_timeout(250)
    page.mouse.up()
    page.get_by_text("Strike through").first.wait_for()
    wait_until(lambda: page.locator(".row").count() > before, 20)
    context.unroute_all(behavior="ignoreErrors")


def test_a_card_is_handed_over_by_name_and_only_by_who_has_the_boil(
    context: BrowserContext, program: Program
) -> None:
    page = context.pages[0]
    go(page, program, f"b/{COLD}/handover")
    page.get_by_role("button", name="Hand over", exact=True).tap()
    page.locator(".panel").get_by_text("Maren", exact=True).tap()
    page.locator(".panel").get_by_text("Greta", exact=True).tap()
    page.get_by_role("button", name="I walked them too").tap()
    page.locator(".panel").get_by_text("Walk first").wait_for()
    page.keyboard.press("Escape")
    assert page.locator(".panel").count() == 0
    assert [(e["kind"], e["by"]) for e in made(page)] == [("handover_offered", "maren")]
    go(page, program, "people")
    page.locator(".row", has_text="Isolde").tap()
    go(page, program, f"b/{COLD}/handover")
    page.get_by_role("button", name="Take the boil").wait_for()
    assert page.get_by_role("button", name="Hand over", exact=True).count() == 0


def test_a_pin_is_typed_by_keys_alone_and_ends_when_the_office_sets_another(
    context: BrowserContext, program: Program
) -> None:
    page = context.pages[0]
    beside(program.data, SET_PIN.format("271843"))
    go(page, program, f"b/{COLD}/packing")
    page.locator(".station .finish").wait_for()
    go(page, program, "people")
    page.locator(".row", has_text="lead maker, PIN").first.tap(timeout=20_000)
    # Brought when it is first asked for.
    page.locator(".panel.pin").wait_for()
    page.keyboard.press("Escape")
    page.locator(".panel").wait_for(state="hidden")
    page.locator(".row", has_text="lead maker, PIN").first.tap()
    for figure in "271843":
        page.locator(".pin .pad").get_by_text(figure, exact=True).press("Enter")
    page.locator(".pin .pad .go").press("Enter")
    wait_true(page, f"{WHO}.includes('Maren')")
    go(page, program, f"b/{COLD}/packing")
    assert press(page)["signed"] == "shop"
    beside(program.data, SET_PIN.format("904613"))
    go(page, program, "people")
    page.locator(".row", has_text="lead maker, PIN").first.wait_for(timeout=20_000)
    go(page, program, f"b/{COLD}/packing")
    assert "signed" not in press(page)


def test_who_came_after_the_sheet_was_frozen_presses_by_name(
    context: BrowserContext, program: Program
) -> None:
    page = context.pages[0]
    beside(program.data, COMES.replace("answer = ", "answer = 1; "))
    go(page, program, f"b/{COLD}/packing")
    page.locator(".station .finish").wait_for()
    go(page, program, "people")
    page.locator(".row", has_text="Ines").tap(timeout=20_000)
    go(page, program, f"b/{COLD}/packing")
    page.locator(".beside", has_text="Ines").wait_for()
    assert press(page)["by"] == "ines"
    wait_until(lambda: "ines" in logged(program), 20)
    record = beside(program.data, RECORD.format(COLD))
    assert "Ines" in {line["by"] for name in ("steps", "acts") for line in record[name]}


def logged(program: Program) -> set[str]:
    """Everybody who pressed, as the shop has it."""
    with closing(sqlite3.connect(program.data / "demo" / "kettleside.sqlite3")) as store:
        return {json.loads(line)["by"] for (line,) in store.execute("select line from shop_event")}
