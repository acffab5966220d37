"""Which lot is weighed: shown at its step, one press for the next, another sack, fat against foam;
finishing the step says what was shown."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.floor.test_laying_up import TALL, finish, own, press
from tests.floor.test_screens import call, violations
from tests.programs import Program, beside

Go = Callable[[str], None]
# A boil of the same store room, whose lots no other test says.
WEIGHED = """
from shop.demo.scenario import demo_sheet
from shop.store import access, batches
shop = access.only_shop()
boil = {"batch": "weighed", "lot": "L6329F", "boil": {"letter": "F", "pattern": "dot"}}
batches.plan_batch(shop_id=shop.id, sheet={**demo_sheet("demo-planned"), **boil})
batches.open_planned(shop_id=shop.id, batch="weighed", lead="maren")
answer = 0
"""

# The board's figures that are seen whole without scrolling.
IN_SIGHT = """() => {
  const foot = document.querySelector('.board').getBoundingClientRect().bottom;
  return [...document.querySelectorAll('.board .lines li')]
    .filter((line) => line.getBoundingClientRect().bottom <= foot).map((line) => line.textContent);
}"""


@pytest.fixture(scope="module")
def weighed(program: Program, page: Page) -> None:
    beside(program.data, WEIGHED)
    page.goto(f"http://localhost:{program.port}/floor/#/")
    page.locator(".row", has_text="L6329F").wait_for(timeout=20_000)


@pytest.fixture(autouse=True)
def tall(page: Page, weighed: None) -> None:
    page.set_viewport_size(TALL)


def said(page: Page) -> list[tuple[Any, ...]]:
    """Material, lot and whether beside another, of every one that this phone has said."""
    bodies = [event["body"] for event in own(page, "lot_used")]
    return [(b["material"], b["lot"], b.get("also", 0)) for b in bodies]


def pass_until(page: Page, words: str) -> None:
    while call(page) != words:
        page.locator(".station .keys").get_by_text("Pass", exact=True).click()
        page.locator(".panel").get_by_text("No hands free", exact=True).click()


def shown(page: Page) -> str:
    return page.locator(".board [data-at=lots]").inner_text()


def test_the_weighing_step_shows_its_lot_and_a_press_takes_the_next(page: Page, go: Go) -> None:
    go("b/weighed/setup")
    pass_until(page, "Weigh sugar")
    assert shown(page) == "Sugar from S118"
    assert said(page) == []
    for lot in ("S119", "not said", "S118"):
        page.locator(".board [data-at=lots]").click()
        assert shown(page) == f"Sugar from {lot}"
    assert said(page) == [("sugar", "s119", 0), ("sugar", "", 0), ("sugar", "s118", 0)]
    assert violations(page) == []


def test_another_sack_stands_beside_the_first(page: Page, go: Go) -> None:
    go("b/weighed/setup")
    pass_until(page, "Weigh syrup")
    assert shown(page) == "Glucose syrup from G41"
    page.get_by_role("button", name="and G42", exact=True).click()
    assert shown(page) == "Glucose syrup from G41 and G42"
    assert not page.locator(".board [data-at=sack]").is_visible()
    assert said(page)[-2:] == [("glucose-syrup", "g41", 0), ("glucose-syrup", "g42", 1)]
    # One of two that was none after all is taken back where all of them stand.
    page.locator(".board [data-at=lots]").click()
    page.locator(".panel").get_by_text("✓ Glucose syrup G41", exact=True).click()
    assert shown(page) == "Glucose syrup from G42"
    assert own(page, "struck")[-1]["body"]["reason"] == "not this lot"


def test_finishing_says_the_oldest_lot_that_nobody_changed_and_passing_says_none(
    page: Page, go: Go
) -> None:
    go("b/weighed/setup")
    pass_until(page, "Weigh colours")
    assert shown(page) == "Curcumin from D31, Plain caramel from D32"
    before = said(page)
    finish(page)
    assert said(page)[len(before) :] == [("curcumin", "d31", 0), ("caramel", "d32", 0)]
    assert call(page) == "Weigh acid"
    assert shown(page) == "Citric acid from C7, Quince and lemon balm from F23"
    before = said(page)
    pass_until(page, "Fill tub")
    assert said(page) == before


def test_fat_against_foam_is_one_press_at_the_kettle_and_never_said_by_itself(
    page: Page, go: Go
) -> None:
    go("b/weighed/kettle")
    pass_until(page, "Skim")
    assert not page.locator(".board [data-at=lots]").is_visible()
    before = said(page)
    finish(page)
    assert said(page) == before
    press(page, "Write")
    page.locator(".panel").get_by_text("Fat against foam", exact=True).click()
    assert violations(page) == []
    page.locator(".panel").get_by_text("Butter B3", exact=True).click()
    assert said(page)[len(before) :] == [("butter", "b3", 1)]
    go("b/weighed/back")
    assert "Butter from B3" in page.locator("#app").inner_text()


def test_what_goes_into_a_bag_is_seen_without_scrolling(page: Page, go: Go) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    go("b/weighed/packing")
    pass_until(page, "Pack bags")
    assert page.evaluate(IN_SIGHT)[0].startswith("In a bag")
