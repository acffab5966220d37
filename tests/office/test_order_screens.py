"""Orders in a real browser: by themselves, by keys alone, without JavaScript."""

import pytest
from playwright.sync_api import Page

from tests.browsers import wait_true
from tests.desks import DESK, WHOLE, OpenDesk

FILL = """
from shop.store.access import access_shop
from shop.demo.order import SAID
from shop.store import orders
from tests.office.asks import a_picture
from tests.office.order_asks import ask_for
shop = access_shop("demo")
ask_for(shop, "Two bees")
said = {**SAID, "no_text": 0, "text": "\u00c9LAN l0", "language": "French", "reads": "ring"}
who = ("Somebody invented", "somebody@customer.example")
orders.new_order(shop_id=shop.id, number="W-0800", customer="", who=who, title="Star",
                 due="2026-12-09", said=said, drawing=a_picture(shop))
answer = {}
"""


@pytest.fixture(scope="module")
def fill() -> str:
    return FILL


def test_verdict_and_quote_come_in_by_themselves(page: Page) -> None:
    page.set_viewport_size(DESK)
    page.goto("/office/orders/W-0800/")
    wait_true(page, WHOLE, 120)
    assert page.get_by_text("Can these hands build it in time?").count() == 1
    assert page.get_by_text("To ask for it").count() == 1


def test_half_an_enquiry_is_kept_and_moved_on_without_javascript(desk: OpenDesk) -> None:
    with desk(java_script_enabled=False) as tab:
        tab.goto("/office/orders/new/")
        for name, value in (
            *(("name", "Ada Lov"), ("number", "W-0700"), ("title", "Bee"), ("price", "450")),
            *(("count1", "80"), ("fill1", "100"), ("text", "BEE")),
        ):
            tab.fill(f"[name={name}]", value)
        tab.get_by_role("button", name="Keep it").click()
        assert tab.url.endswith("/office/orders/W-0700/")
        assert tab.get_by_text("80 bags need 9.31 kg.").count() == 1
        tab.get_by_role("button", name="Quoted").click()
        assert tab.locator("[aria-current=step]").inner_text() == "quoted"


def test_the_week_is_moved_by_keys_alone(page: Page) -> None:
    page.goto("/office/orders/week/?from=2026-12-07")
    page.locator("#to-W-0900").focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.get_by_text("W-0900: Mon 7 Dec 2026.").wait_for()
    monday = page.locator("section.day").first
    assert monday.get_by_role("link", name="W-0900").count() == 1
