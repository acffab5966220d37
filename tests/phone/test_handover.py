"""Handing a boil over between phones: over the network, by a walking phone, both at once."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.phone.walking import hand_on, take_along
from tests.play.crew import OWN_LINES
from tests.programs import Program, beside, running, wait_until

BOIL, HOT = "demo-planned", "demo-handover"
AT_SHOP = "document.querySelector('.stage')?.textContent === 'at the shop'"
LEADS = "document.querySelector('.rail .who')?.textContent"
RECORD = """
from shop.store import access, read
answer = read.batch_report(access.access_batch(access.only_shop().id, {!r}))
"""


@dataclass
class Hand:
    """Somebody with a phone at the planned boil."""

    name: str
    context: BrowserContext
    program: Program

    @property
    def page(self) -> Page:
        return self.context.pages[0]

    def go(self, place: str, boil: str = BOIL) -> None:
        self.page.goto(f"http://localhost:{self.program.port}/floor/#/b/{boil}/{place}")
        self.page.locator("#app > *").last.wait_for()

    def press(self, *words: str) -> None:
        for word in words:
            self.page.get_by_role("button", name=word, exact=True).last.click(timeout=20_000)

    def panel(self, words: str) -> None:
        self.page.locator(".panel button").get_by_text(words, exact=True).click()

    def bar(self, words: str) -> None:
        self.page.locator(".bar").get_by_text(words).wait_for(timeout=20_000)

    def leads(self, words: str) -> None:
        wait_true(self.page, f"{LEADS}.includes({words!r})")

    def sent(self) -> None:
        wait_true(self.page, AT_SHOP, 40)

    def made(self) -> list[dict[str, Any]]:
        return [json.loads(line) for line in self.page.evaluate(OWN_LINES)]


@pytest.fixture(scope="module")
def crew(playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[Hand]]:
    """Maren, Greta and Tobit, each with a phone."""
    folder = tmp_path_factory.mktemp("handover")
    with running(folder / "data", "demo") as program, ExitStack() as open_phones:
        hands = []
        for name in ("Maren", "Greta", "Tobit"):
            context = open_phones.enter_context(phone(playwright, folder / name))
            code = add_phone(program.data)["code"]
            context.pages[0].goto(f"http://localhost:{program.port}/floor/#add={code}")
            context.pages[0].locator(".row", has_text=name).click(timeout=30_000)
            hands.append(Hand(name, context, program))
            hands[-1].sent()
        yield hands


def once(crew: list[Hand]) -> None:
    """Every entry that a phone made stands in the shop's log once."""
    for hand in crew:
        hand.sent()
    with closing(sqlite3.connect(crew[0].program.data / "demo" / "kettleside.sqlite3")) as store:
        stored = [line for (line,) in store.execute("select line from shop_event")]
    for hand in crew:
        for line in hand.page.evaluate(OWN_LINES):
            assert stored.count(line) == 1, line


def record(program: Program, boil: str = BOIL) -> dict[str, Any]:
    found: dict[str, Any] = beside(program.data, RECORD.format(boil))
    return found


def walk(hand: Hand, *places: str) -> None:
    for place in places:
        hand.press(place)


def test_both_walk_ask_and_stand_in_the_record(crew: list[Hand]) -> None:
    maren, greta, _ = crew
    maren.go("handover")
    maren.press("Hand over")
    maren.panel("Greta")
    walk(maren, "kettle", "table")
    maren.press("I walked them too")
    greta.go("kettle")
    greta.bar("Maren hands over to you")
    greta.press("Look")
    greta.page.get_by_text("Maren walked kettle, table").first.wait_for(timeout=20_000)
    greta.press("Spot questions")
    for n in range(8):
        greta.page.locator(".panel h2").get_by_text(f"{n + 1}. ").wait_for()
        greta.press("Show the answer", "Right")
    greta.page.locator(".panel h2").get_by_text("8 of 8 right").wait_for()
    greta.press("Close")
    walk(greta, "kettle", "table", "roller", "cutter")
    greta.press("I take over", "No questions, said by Greta")
    greta.leads("has the boil")
    maren.bar("Greta has the boil now")
    maren.press("Seen")
    maren.page.locator(".bar").get_by_text("has the boil now").wait_for(state="hidden")
    once(crew)
    [handed] = record(maren.program)["handovers"]
    assert (handed["from"], handed["to"], handed["right"]) == ("maren", "greta", 8)
    assert handed["questions"] == "No questions, said by Greta"
    assert handed["walked"] == ["kettle", "table", "roller", "cutter"]
    [walked] = handed["walks"]
    assert (walked["by"], walked["places"]) == ("maren", ["kettle", "table"])


def test_with_no_network_a_walking_phone_brings_offer_and_taking(
    crew: list[Hand], tmp_path: Path
) -> None:
    """Greta hands back to Maren; Tobit's phone walks between theirs, and alone finds the shop."""
    maren, greta, tobit = crew
    for hand in crew:
        hand.context.set_offline(True)
    greta.go("handover")
    greta.press("Hand over")
    greta.panel("Maren")
    there, back = tmp_path / "offer.kettleside", tmp_path / "taken.kettleside"
    hand_on(greta.page, greta.program, there)
    take_along(tobit.page, tobit.program, there)
    hand_on(tobit.page, tobit.program, there)
    take_along(maren.page, maren.program, there)
    maren.go("handover")
    maren.press("I take over")
    maren.page.locator(".panel input").fill("Which end reads? The dot.")
    maren.panel("Write down")
    maren.leads("has the boil")
    hand_on(maren.page, maren.program, back)
    take_along(tobit.page, tobit.program, back)
    hand_on(tobit.page, tobit.program, back)
    take_along(greta.page, greta.program, back)
    greta.go("kettle")
    greta.leads("Maren has the boil")
    tobit.context.set_offline(False)
    tobit.sent()
    wait_until(lambda: record(tobit.program)["lead"] == "Maren", 30)
    for hand in (maren, greta):
        hand.context.set_offline(False)
    once(crew)
    back_again = record(maren.program)["handovers"][-1]
    assert (back_again["from"], back_again["to"]) == ("greta", "maren")
    assert back_again["questions"] == "Which end reads? The dot."


def test_two_who_both_took_it_are_shown_and_settled(crew: list[Hand]) -> None:
    maren, greta, tobit = crew
    for hand in (greta, tobit):
        hand.go("handover")
        hand.context.set_offline(True)
    for hand in (greta, tobit):
        hand.press("Take the boil")
        hand.leads("has the boil")
    for hand in (greta, tobit):
        hand.context.set_offline(False)
    maren.go("kettle")
    maren.bar("Two entries disagree")
    maren.press("Settle")
    maren.page.locator(".row", has_text="Two took the boil").click()
    maren.panel("Greta has the boil")
    for hand in crew:
        hand.go("kettle")
        hand.leads("has the boil")
        hand.page.locator(".bar").get_by_text("disagree").wait_for(state="hidden", timeout=20_000)
    assert [h.page.evaluate(LEADS).count("Tobit has") for h in crew] == [0, 0, 0]
    once(crew)
    found = record(maren.program)
    assert (found["lead"], found["conflicts"]) == ("Greta", [])


def test_inside_the_zone_the_newcomer_shadows_until_the_last_cut(crew: list[Hand]) -> None:
    """The demo's other boil: a glance card is offered to Greta; the boil stays with Maren."""
    maren, greta, _ = crew
    greta.go("roller", HOT)
    greta.bar("Maren shows you the card: look on")
    greta.press("Look")
    greta.page.locator("h1", has_text="Glance card").wait_for()
    greta.press("I shadow from here", "No questions, said by Greta")
    greta.leads("Maren has the boil")
    maren.go("packing", HOT)
    cut_last = {"step": "cut.last", "station": "packing", "kind": "step_done", "body": {}}
    beside(
        maren.program.data,
        "from shop.store import access, append\n"
        f"append.office_event(shop_id=access.only_shop().id, batch={HOT!r}, **{cut_last!r})\n"
        "answer = 1",
    )
    maren.bar("Greta has shadowed: hand over")
    maren.press("Look")
    maren.page.locator("h1", has_text="Handover").wait_for()
