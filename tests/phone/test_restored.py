"""A server put back to yesterday gets everything again from the phones, by itself."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Playwright

from tests.browsers import phone
from tests.phone.conftest import BATCH, PRESS, stand, stored
from tests.programs import beside, free_port, manage, running, wait_until

# A boil planned and opened after the backup was taken: the backup knows neither sheet nor batch.
NEW_BOIL = """
from shop.demo.scenario import demo_sheet
from shop.store import access, batches
shop = access.only_shop()
sheet = demo_sheet("demo-planned")
sheet |= {"batch": "demo-later", "lot": "L6330A", "boil": {"letter": "D", "pattern": "wave"}}
batches.open_batch(shop_id=shop.id, sheet=sheet, lead="greta", by="greta")
answer = "open"
"""
PRESS_AT_KETTLE = "demo-later/kettle"


def test_a_server_restored_from_yesterday_gets_everything_back_from_the_phones(
    playwright: Playwright, tmp_path: Path
) -> None:
    data, port = tmp_path / "data", free_port()
    with (
        phone(playwright, tmp_path / "one") as one,
        phone(playwright, tmp_path / "two") as two,
    ):
        with running(data, "demo", port=port) as program:
            for context in (one, two):
                stand(context.pages[0], program)
            told = stored(data)
            one.pages[0].evaluate(PRESS)
            wait_until(lambda: len(stored(data) - told) == 1, 20)
            assert "whole" in manage(data, "backup", KETTLESIDE_SHOP="demo").stdout
            beside(data, NEW_BOIL)
            for context, place in ((one, BATCH), (two, PRESS_AT_KETTLE)):
                page = context.pages[0]
                page.goto(f"http://localhost:{port}/floor/#/")
                page.locator(".row", has_text="L6330A").wait_for()
                page.goto(f"http://localhost:{port}/floor/#/b/{place}")
                page.locator(".station .finish").wait_for()
                page.evaluate(PRESS)
            # Each phone must have seen what the other and the office did.
            wait_until(lambda: len(stored(data) - told) == 4, 20)
            one.pages[0].wait_for_timeout(5500)
        before = stored(data)
        assert any('"demo-later"' in line for line in before)
        restored = manage(data, "restore", KETTLESIDE_SHOP="demo")
        assert "whole" in restored.stdout, restored.stderr
        assert len(stored(data)) < len(before)
        with running(data, "demo", port=port):
            # The phones are left alone from here on.
            wait_until(lambda: stored(data) >= before, 60)
        assert stored(data) == before
        assert manage(data, "verify", KETTLESIDE_SHOP="demo").stdout.startswith("Whole")
        assert "0 set aside" in manage(data, "verify", KETTLESIDE_SHOP="demo").stdout
