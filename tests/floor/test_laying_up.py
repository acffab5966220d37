"""The block station: one block big from the builder's own side, how long it sticks, who looked; and
the log turned, said on every phone."""

import json
import re
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, ViewportSize

from tests.browsers import wait_true
from tests.floor.test_screens import MEASURE, call, later, violations
from tests.programs import Program, beside

Go = Callable[[str], None]
TALL = ViewportSize(width=390, height=844)
DEAD_S = 1.6
SWEET = next((Path(__file__).parents[2] / "static/icons").glob("sweet-192.png"))
OWN = """() => new Promise((done) => {
  const open = indexedDB.open('kettleside');
  open.onsuccess = () => {
    const all = open.result.transaction('own').objectStore('own').getAll();
    all.onsuccess = () => done(all.result.map(({ line }) => line));
  };
})"""
# A boil whose picture has a wrong side.
LETTERED = """
from dataclasses import replace
from shop.demo.scenario import PICTURE, demo_sheet
from shop.store import access, batches
shop = access.only_shop()
sheet = demo_sheet("demo-planned", replace(PICTURE, mirror_symmetric=False))
boil = {"batch": "lettered", "lot": "L6329E", "boil": {"letter": "E", "pattern": "wave"}}
batches.plan_batch(shop_id=shop.id, sheet={**sheet, **boil})
batches.open_planned(shop_id=shop.id, batch="lettered", lead="maren")
answer = 0
"""
TURNED = """
from shop.store import access
from shop.store.append import office_event
shop = access.only_shop()
for kind, body in (("tally_counted", {"what": "rods", "add": 11}), ("log_turned", {})):
    office_event(shop_id=shop.id, batch="lettered", kind=kind, body=body, by="isolde")
answer = 0
"""


@pytest.fixture(autouse=True)
def tall(page: Page) -> None:
    page.set_viewport_size(TALL)


@pytest.fixture(scope="module")
def lettered(program: Program, page: Page) -> None:
    beside(program.data, LETTERED)
    page.goto(f"http://localhost:{program.port}/floor/#/")
    page.locator(".row", has_text="L6329E").wait_for(timeout=20_000)


def own(page: Page, kind: str) -> list[dict[str, Any]]:
    """What this phone has written of a kind, as it is kept."""
    events = [json.loads(line) for line in page.evaluate(OWN)]
    return [event for event in events if event["kind"] == kind]


def press(page: Page, words: str) -> None:
    """A key of the station, past the dead time."""
    time.sleep(DEAD_S)
    page.get_by_role("button", name=words, exact=True).first.click()
    later(page)


def finish(page: Page) -> None:
    time.sleep(DEAD_S)
    page.locator(".finish").tap()
    later(page)


def board(page: Page) -> str:
    return page.locator(".board").inner_text()


def fills(page: Page) -> list[str | None]:
    shapes = page.locator(".drawing .section g > *")
    return [shape.get_attribute("fill") for shape in shapes.all()]


def test_blocks_are_laid_up_one_by_one_and_looked_at_by_somebody_else(page: Page, go: Go) -> None:
    go("b/demo-planned/block")
    page.locator(".block-parts").wait_for()
    finish(page)
    page.evaluate("window.drawn = document.querySelector('.drawing .section')")
    assert call(page) == "Hive"
    filled = set(fills(page))
    # Yellow and brown of this block; nothing else is laid.
    assert filled == {"#f2c230", "#4a2811", "none"}
    said = board(page)
    assert re.search(r"1\.1\d\skg", said)
    # The feel stands before the number; only the oldest part is told.
    assert re.search(r"Dents, springs back\s+B\s+\d–\d+\s+min", said)
    assert said.count("laid warm") == 1
    waits = page.locator(".sticks")
    assert waits.locator(".sweet-edge").get_attribute("fill") == "#4a2811"
    assert waits.locator(".sweet").get_attribute("aria-label") == "Brown"
    sure, most = (
        float((waits.locator(f".ring-{part}").get_attribute("stroke-dasharray") or "").split()[0])
        for part in ("sure", "most")
    )
    assert 0 < sure < most <= 1
    assert (
        waits.locator(".number").evaluate("(e) => parseFloat(getComputedStyle(e).fontSize)") >= 103
    )
    finish(page)
    assert call(page) == "Door"
    # The same drawing, changed: what is laid is there in a quieter tone.
    assert page.evaluate("window.drawn === document.querySelector('.drawing .section')")
    assert {"#4a2811", "none"} < set(fills(page)) - {"#f2c230"}
    assert "#f2c230" not in fills(page)
    for name in ("Bees", "White field", "Check ends"):
        finish(page)
        assert call(page) == name
    assert violations(page) == []
    assert min(page.evaluate(MEASURE)["keys"]) >= 64
    with page.expect_file_chooser() as chosen:
        page.locator(".lookers").get_by_role("button", name="Photo", exact=True).click()
    chosen.value.set_files(SWEET)
    wait_true(page, "document.querySelector('.stage').textContent !== 'pressed'")
    page.wait_for_timeout(300)
    (photo,) = own(page, "photo_taken")
    assert (photo["step"], photo["body"]["what"]) == ("block.check", "Check ends")
    press(page, "Tobit: yes")
    assert call(page) == "Band on"
    yes = own(page, "step_done")[-1]
    assert (yes["step"], yes["by"], yes["for"]) == ("block.check", "maren", "tobit")
    finish(page)
    # Nobody is held up who has no second person at hand.
    assert call(page) == "Check again"
    finish(page)
    assert call(page) == "Casing on"
    assert "for" not in own(page, "step_done")[-1]


def test_the_side_is_chosen_in_two_presses_kept_and_the_drawing_is_mirrored(
    page: Page, go: Go
) -> None:
    go("b/demo-planned/block")
    page.locator(".block-parts").wait_for()
    log = page.locator(".drawing .section g")
    assert "Lead’s side" in board(page)
    before = log.locator("polygon").first.bounding_box()
    page.locator(".stand").click()
    page.locator(".panel").get_by_text("Mirror side", exact=True).click()
    for _ in range(2):
        page.locator(".seen-from", has_text="Mirror side").wait_for()
        assert "Reading end far from you" in board(page)
        turned = page.evaluate("document.querySelector('.drawing .section g').getCTM().a")
        assert turned < 0
        page.reload()
        page.locator(".block-parts").wait_for(timeout=20_000)
    assert before
    page.locator(".stand").click()
    page.locator(".panel").get_by_text("Lead’s side", exact=True).click()
    page.locator(".seen-from", has_text="Lead’s side").wait_for()
    assert page.evaluate("document.querySelector('.drawing .section g').getCTM().a") > 0


@pytest.mark.usefixtures("lettered")
def test_what_lies_too_long_is_said_to_be_cold_and_no_number_stands(page: Page, go: Go) -> None:
    go("b/lettered/block")
    page.locator(".block-parts").wait_for()
    press(page, "5 min ago")
    assert call(page) == "Hive"
    assert re.search(r"Still springs back\?\s+B\s+<\d\s+min", board(page))
    press(page, "Undo Lay out")
    time.sleep(DEAD_S)
    page.get_by_role("button", name="Done longer ago").click()
    page.locator(".panel").get_by_text("Done then").click()
    later(page)
    assert "Too cold to join: warm it" in board(page)
    assert "springs back" not in board(page)
    assert not page.locator(".sticks .number").is_visible()
    # What the crew went on without isn't drawn as laid.
    page.locator(".keys button", has_text="Pass").click()
    page.locator(".panel").get_by_text("No hands free").click()
    assert call(page) == "Door"
    assert set(fills(page)) == {"#4a2811", "none"}


@pytest.mark.usefixtures("lettered")
def test_a_log_turned_elsewhere_calls_on_this_phone_until_somebody_answers(
    page: Page, go: Go, program: Program
) -> None:
    go("b/lettered/roller")
    beside(program.data, TURNED)
    bar = page.locator(".alarm-bar", has_text="Log turned: from rod 12 the other end reads")
    bar.wait_for(timeout=20_000)
    assert "Rack tag: E, rods 12 on, other end reads" in board(page)
    go("b/demo-planned/kettle")
    page.wait_for_timeout(1_200)
    assert bar.is_visible()
    go("b/lettered/handover")
    card = page.locator(".part", has_text="Reading end")
    assert "the other way round: rods 12 on" in card.inner_text()
    bar.get_by_role("button", name="Answer").click()
    assert bar.count() == 0
    assert [seen["batch"] for seen in own(page, "seen")] == ["lettered"]


@pytest.mark.usefixtures("lettered")
def test_turned_back_by_two_presses_and_taken_back_at_once(page: Page, go: Go) -> None:
    go("b/lettered/roller")
    page.locator(".reads.turned").wait_for(timeout=20_000)
    for undone in (True, False):
        page.locator(".keys button", has_text="Went off").click()
        page.locator(".panel").get_by_text("Log turned", exact=True).click()
        assert "rods 12 on, read as marked" in board(page)
        if undone:
            page.locator(".stamps button", has_text="Undo turn").click()
            assert "rods 12 on, other end reads" in board(page)
    turns = own(page, "log_turned")
    # Each names the turn it follows, so that two presses for one turn are one.
    assert len({turn["body"]["after"] for turn in turns}) == 1


def test_a_picture_that_is_its_own_mirror_raises_no_alarm(page: Page, go: Go) -> None:
    go("b/demo-handover/roller")
    page.locator(".keys button", has_text="Went off").click()
    page.locator(".panel").get_by_text("Log turned", exact=True).click()
    assert "Rack tag: B, rods 27 on, other end reads" in board(page)
    page.wait_for_timeout(1_200)
    assert page.locator(".alarm-bar", has_text="rod 27").count() == 0
