"""A burn inside the zone with the network gone: the drill, the clock, the mate, the other boil."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.phone.dying import dying_phone, kill
from tests.play.crew import OWN_LINES
from tests.programs import Program, beside, running

HOT, OTHER = "demo-handover/roller", "demo-planned/kettle"
RECORD = """
from shop.store import access, read
answer = read.batch_report(access.access_batch(access.only_shop().id, "demo-handover"))
"""
# The lid's clock of the other boil, which has nothing to do with it.
LID = """
import time
from shop.store import access, append
body = {"id": "lid", "label": "Lid", "deadline": round(time.time() * 1000) + 300_000}
append.office_event(shop_id=access.only_shop().id, batch="demo-planned", station="kettle",
                    kind="countdown_started", body=body)
answer = "runs"
"""
CLOCK = "document.querySelector('{}')?.textContent ?? ''"


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    with running(tmp_path_factory.mktemp("burn") / "data", "demo") as started:
        beside(started.data, LID)
        yield started


def add(context: BrowserContext, program: Program, name: str, place: str) -> Page:
    page = context.pages[0]
    page.goto(f"http://localhost:{program.port}/floor/#add={add_phone(program.data)['code']}")
    page.locator(".row", has_text=name).click(timeout=30_000)
    page.locator(".row", has_text="L6329C").wait_for()
    go(page, program, place)
    return page


def go(page: Page, program: Program, place: str) -> None:
    page.goto(f"http://localhost:{program.port}/floor/#/b/{place}")


def seconds(page: Page, where: str) -> int:
    """What a clock says is left."""
    wait_true(page, f"/[0-9]+:[0-9]+/.test({CLOCK.format(where)})")
    found = re.search(r"(\d+):(\d+)", page.evaluate(CLOCK.format(where)))
    assert found
    return int(found[1]) * 60 + int(found[2])


def interruptions(lines: list[str]) -> list[dict[str, Any]]:
    return [e for e in map(json.loads, lines) if e["kind"] == "interrupted"]


def test_a_burn_with_the_network_gone(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    profile = tmp_path / "roller"
    with phone(playwright, tmp_path / "mate") as mates:
        mate = add(mates, program, "Tobit", OTHER)
        mate.locator(".station .finish").wait_for()
        lid = seconds(mate, ".station .clock")
        with dying_phone(playwright, profile) as context:
            page = add(context, program, "Isolde", HOT)
            page.locator(".station .finish").wait_for()
            wait_true(page, "document.querySelector('.stage')?.textContent === 'at the shop'")
            context.set_offline(True)
            page.locator(".rail .burn-key").tap()
            drill(page)
            before = len(page.evaluate(OWN_LINES))
            page.locator(".burn .finish").tap()
            left = seconds(page, ".burn .burn-clock")
            assert left <= 20 * 60
            wait_true(page, "performance.getEntriesByName('kept').length >= 2")
            assert len(page.evaluate(OWN_LINES)) == before + 1
            kill(profile)
        with phone(playwright, profile) as context:
            page = context.pages[0]
            context.set_offline(True)
            go(page, program, "demo-handover/burn")
            drill(page)
            assert 0 < left - seconds(page, ".burn .burn-clock") < 120
            assert mate.locator(".alarm-bar").count() == 0
            context.set_offline(False)
            mate.locator(".alarm-bar").get_by_text("Flame off, take the boil").wait_for()
            mate.locator(".alarm-bar").get_by_role("button", name="Take the boil").tap()
            page.get_by_text("Tobit has the boil").first.wait_for(timeout=30_000)
            # The other boil's clock has not stood still for it.
            assert 0 < lid - seconds(mate, ".station .clock") < 180
            mine = interruptions(page.evaluate(OWN_LINES))
            assert [entry["body"] for entry in mine] == [{"cause": "burn"}]
    record = beside(program.data, RECORD)
    assert record["lead"] == "Tobit"
    [kept] = record["interrupted"]
    assert set(kept) == {"ref", "cause", "at", "by", "ended"}


def drill(page: Page) -> None:
    """The drill stands whole, with no network, and asks nothing."""
    page.locator(".burn li").first.wait_for()
    said = page.locator(".burn").inner_text()
    for words in ("Cool running water now", "never peel", "Call 112", "ANZCOR"):
        assert words in said
    assert page.locator(".burn input, .burn textarea, .burn select").count() == 0
