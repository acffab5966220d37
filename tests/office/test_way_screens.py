"""Our way, all boils and making again in a real browser: by keys alone, without
JavaScript."""

import pytest
from playwright.sync_api import Page

from tests.browsers import wait_true
from tests.desks import DESK, WHOLE, OpenDesk

# A way in force, one that waits, and the program's own words changed since the shop's were set.
FILL = """
from shop.plan.own_way import own_of, program_flat
from shop.store import ways
from shop.store.access import access_shop
shop = access_shop("demo")
flat = program_flat() | {"steps/hook.pull/call": "Pull it"}
flat["order/hook"] = [one for one in flat["order/hook"] if one != "hook.density"]
ways.keep_draft(shop_id=shop.id, own=own_of(flat))
ways.put_in_force(shop_id=shop.id, note_="It is shorter", by="office")
own = own_of(flat | {"steps/hook.pull/say": "Pull it till it is white and light"})
own["was"]["steps/hook.pull/call"] = "Draw"
ways.keep_draft(shop_id=shop.id, own=own)
answer = {}
"""


FOCUS = "document.activeElement"
WORDS = f"{FOCUS}.getAttribute('aria-label') ?? {FOCUS}.innerText.trim()"
# The key inside a field of days or hours that opens a calendar is drawn by the browser itself.
RING = f"/month|date|time/.test({FOCUS}.type) ? 'its own' : getComputedStyle({FOCUS}).outlineStyle"


@pytest.fixture(scope="module")
def fill() -> str:
    return FILL


def tab_to(page: Page, words: str, key: str = "Tab") -> None:
    """By the tab key alone; whatever has the focus on the way shows it."""
    for _ in range(300):
        page.keyboard.press(key)
        if page.evaluate(f"!['BODY', 'IFRAME', undefined].includes({FOCUS}?.tagName)"):
            assert page.evaluate(RING) != "none", page.evaluate(WORDS)
            if page.evaluate(WORDS).startswith(words):
                return
    pytest.fail(f"the tab key never came to {words!r}")


def test_a_step_is_reworded_moved_and_put_in_force_by_keys_alone(page: Page) -> None:
    page.set_viewport_size(DESK)
    page.goto("/office/way/")
    tab_to(page, "Pull it")
    page.keyboard.press("Enter")
    page.locator("#id_call").wait_for()
    page.keyboard.press("Tab")
    while page.evaluate(f"{FOCUS}?.id") != "id_call":
        page.keyboard.press("Tab")
    page.keyboard.press("Control+A")
    page.keyboard.type("Pull more")
    tab_to(page, "Keep")
    page.keyboard.press("Enter")
    page.get_by_text("Kept. It holds when our way is put in force.").wait_for()
    page.goto("/office/way/")
    tab_to(page, "Pull more down")
    page.keyboard.press("Enter")
    page.wait_for_url("**/way/#hook.pull")
    page.locator("#why").focus()
    page.keyboard.type("Said at the kettle")
    page.keyboard.press("Enter")
    page.get_by_text("Version 2 holds from the next sheet on.").wait_for()
    assert page.get_by_text("Said at the kettle").count() == 1


def test_a_boil_is_found_and_made_again_by_keys_alone(page: Page) -> None:
    page.set_viewport_size(DESK)
    page.goto("/office/boils/?words=beehive")
    tab_to(page, "Make again")
    page.keyboard.press("Enter")
    page.wait_for_url("**/again/")
    wait_true(page, WHOLE, 120)
    page.locator("[name=packs]").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("60")
    tab_to(page, "Work it out")
    page.keyboard.press("Enter")
    page.wait_for_url("**/sheet/**", timeout=60_000)
    assert page.get_by_text("60").count()


def test_a_step_is_added_and_dropped_without_javascript(desk: OpenDesk) -> None:
    with desk(java_script_enabled=False) as tab:
        tab.goto("/office/way/")
        tab.get_by_role("button", name="Add a step to Roller").click()
        tab.fill("[name=call]", "Wipe down")
        tab.fill("[name=say]", "Wipe the roller down")
        tab.get_by_role("button", name="Keep").click()
        tab.goto("/office/way/")
        tab.get_by_role("button", name="Drop Wipe down").click()
        assert tab.get_by_role("button", name="Drop Wipe down").count() == 0
