"""The label's pages in a real browser: sound for a screen reader, by keys, on a small screen."""

import os
from pathlib import Path

import pytest
from playwright.sync_api import Page, ViewportSize

from tests.browsers import PHONE
from tests.desks import DESK
from tests.floor.test_screens import violations

FILL = """
from shop.store.access import access_shop
from shop.store.append import office_event
from tests.office.label_asks import print_one
shop = access_shop("demo")
print_one(shop, "demo-finished")
for grams in (99, 104, 99, 103, 101, 94):
    body = {"what": "bag_mass", "n": grams, "d": 1, "unit": "g"}
    body |= {"instrument": "pack-scale", "how": "scale"}
    office_event(shop_id=shop.id, batch="demo-finished", kind="reading_taken", body=body, by="pim")
lot = {"material": "butter", "lot": "b3"}
office_event(shop_id=shop.id, batch="demo-finished", kind="lot_used", body=lot, by="pim")
print_one(shop, "demo-finished")
answer = {}
"""
PAGES = {
    "label": "/office/batch/demo-finished/label/",
    "us": "/office/batch/demo-finished/label/?place=US&size=1",
    "held": "/office/batch/demo-planned/label/",
    "settings": "/office/labels/",
}


@pytest.fixture(scope="module")
def fill() -> str:
    return FILL


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "hand"])
@pytest.mark.parametrize("name", PAGES)
def test_a_screen_reader_finds_its_way_and_nothing_is_wider_than_the_screen(
    page: Page, name: str, size: ViewportSize
) -> None:
    page.set_viewport_size(size)
    page.goto(PAGES[name])
    if folder := os.environ.get("LOOK"):
        page.screenshot(path=str(Path(folder) / f"{name}-{size['width']}.png"), full_page=True)
    assert violations(page) == []
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= size["width"]


def test_by_keys_alone_the_right_label_is_printed(page: Page) -> None:
    page.set_viewport_size(DESK)
    page.goto("/office/")
    page.get_by_role("link", name="Label").last.focus()
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert page.url.endswith("/label/")
    page.goto(PAGES["label"])
    page.focus("#copies")
    assert page.input_value("#copies") == "95"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Print"
    answer = page.request.get(PAGES["label"])
    assert answer.ok
    kept = page.request.get("/office/batch/demo-finished/label/2.pdf")
    assert kept.headers["content-type"] == "application/pdf"
    assert page.request.get("/office/batch/demo-finished/label/1.pdf").status == 409


def test_the_label_on_the_page_stands_inside_its_edges(page: Page) -> None:
    page.set_viewport_size(DESK)
    page.goto(PAGES["label"])
    edge = page.locator(".face-of-label rect").bounding_box()
    assert edge is not None
    for text in page.locator(".face-of-label text").all():
        box = text.bounding_box()
        assert box is not None
        assert box["x"] >= edge["x"]
        assert box["x"] + box["width"] <= edge["x"] + edge["width"] + 1
