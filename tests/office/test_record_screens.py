"""The record and two boils side by side in a real browser: by ear, by keys, small, on paper."""

import pytest
from playwright.sync_api import Page, ViewportSize

from tests.browsers import PHONE
from tests.desks import DESK
from tests.floor.test_screens import violations

# A4 less its edges, 186 × 269 mm, at 96 CSS pixels an inch (ISO 216, CSS Values 4).
PAPER = ViewportSize(width=703, height=1016)
RECORD = "/office/batch/demo-finished/"
COMPARE = "/office/compare/?a=demo-finished&b=demo-handover"


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "small"])
@pytest.mark.parametrize("address", [RECORD, COMPARE], ids=["record", "compare"])
def test_no_rule_of_accessibility_is_broken_and_nothing_is_wider_than_the_screen(
    page: Page, address: str, size: ViewportSize
) -> None:
    page.set_viewport_size(size)
    page.goto(address)
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]


def test_what_scrolls_sideways_can_be_reached_and_scrolled_by_keys(page: Page) -> None:
    page.set_viewport_size(PHONE)
    page.goto(RECORD)
    region = page.locator(".drawn .wide").first
    region.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(300)
    assert region.evaluate("e => e.scrollLeft") > 0


def test_from_the_record_one_press_leads_to_the_first_difference(page: Page) -> None:
    """Story 20: two boils compared by loss line in ten seconds; one press, then the title."""
    page.set_viewport_size(DESK)
    page.goto(RECORD)
    page.get_by_role("link", name="Beside another boil").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/compare/**")
    first = page.locator(".against").first.bounding_box()
    assert first is not None
    assert first["y"] < 300


def test_on_paper_the_first_page_is_the_summary_and_the_rail_is_gone(page: Page) -> None:
    page.set_viewport_size(PAPER)
    page.goto(RECORD)
    page.emulate_media(media="print")
    assert not page.locator(".rail").is_visible()
    assert not page.locator(".take").is_visible()
    breaks = page.locator(".first-page").evaluate("e => getComputedStyle(e).breakAfter")
    high = page.locator("#record").evaluate(
        "e => e.querySelector('.first-page').getBoundingClientRect().bottom"
    )
    page.emulate_media(media="screen")
    assert breaks == "page"
    assert high <= PAPER["height"]
