"""The store room in a real browser: a sack traced to its customers in two clicks from Today."""

from playwright.sync_api import Page

from tests.desks import DESK


def test_two_clicks_from_today_lead_from_a_sack_to_its_customers(page: Page) -> None:
    page.set_viewport_size(DESK)
    page.goto("/office/")
    page.get_by_label("A mark, a lot, an order or a customer").fill("S11")
    page.get_by_role("button", name="Trace", exact=True).click()
    page.get_by_role("link", name="Sugar S118").click()
    assert "An invented customer" in page.locator("main").inner_text()
