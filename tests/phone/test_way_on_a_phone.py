"""Our way from the desk to the kettle: words put in force stand on the phones of the next boil, not
of one that is open; the preview at the desk is what the phone shows."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone
from tests.desks import PASSWORDS, open_desk
from tests.programs import Program, beside, running

SAY, CALL = "Tie up sleeves and hair first", "Sleeves up"
# A boil planned with the way in force, as the desk's plan page does it.
PLAN = """
from shop.demo.scenario import demo_sheet
from shop.store import access, batches, ways
shop = access.only_shop()
sheet = demo_sheet("demo-planned", way=ways.way_for(shop.id))
boil = {"letter": "G", "pattern": "dot"}
sheet = {**sheet, "batch": "new-way", "boil": boil, "lot": "L6329G"}
batches.open_batch(shop_id=shop.id, sheet=sheet, lead="maren")
answer = {"first": sheet["stations"][0]["steps"][0], "way": sheet["way"]}
"""
FIRST = f"""{PASSWORDS}
from shop.demo.scenario import demo_sheet
answer = demo_sheet("demo-planned")["stations"][0]["steps"][0]
"""


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    with running(tmp_path_factory.mktemp("way") / "data", "demo") as started:
        yield started


def board(page: Page, program: Program, boil: str) -> str:
    """What the board of set-up says."""
    page.goto(f"http://localhost:{program.port}/floor/#/b/{boil}/setup")
    page.locator(".station .call").wait_for(timeout=20_000)
    return words(page.locator(".station .board").inner_text())


def words(text: str) -> str:
    return " ".join(text.split())


def test_new_words_stand_on_the_next_boil_and_in_the_preview_alone(
    playwright: Playwright, browser: Browser, program: Program, tmp_path: Path
) -> None:
    step = beside(program.data, FIRST)
    with open_desk(browser, program) as tab:
        tab.goto(f"/office/way/step/{step}/")
        tab.fill("[name=say]", SAY)
        tab.fill("[name=call]", CALL)
        with tab.expect_response(lambda got: "/way/phone/" in got.url) as framed:
            tab.get_by_role("button", name="Keep").click()
        policy = framed.value.headers["content-security-policy"]
        assert "'unsafe" not in policy
        assert "frame-ancestors 'self'" in policy
        frame = tab.frame_locator("iframe.phone")
        preview = frame.locator(".station .board")
        preview.wait_for()
        assert tab.frames[-1].evaluate("[innerWidth, innerHeight]") == [390, 844]
        seen = words(preview.inner_text())
        assert CALL in seen
        assert SAY in seen
        tab.goto("/office/way/")
        tab.fill("#why", "Said twice on Monday")
        tab.get_by_role("button", name="Put in force").click()
        tab.get_by_text("Version 1 holds from the next sheet on.").wait_for()
    assert beside(program.data, PLAN) == {"first": step, "way": 1}
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]
        page.goto(f"http://localhost:{program.port}/floor/#add={add_phone(program.data)['code']}")
        page.locator(".row", has_text="Maren").click(timeout=30_000)
        page.locator(".row", has_text="L6329G").wait_for(timeout=20_000)
        new, before = (board(page, program, boil) for boil in ("new-way", "demo-planned"))
    assert CALL in new
    assert SAY in new
    assert CALL not in before
    assert SAY not in before
