"""What a phone keeps: through a killed browser, a gone server, a wipe, a second tab."""

from __future__ import annotations

import random
import time
from pathlib import Path

import pytest
from playwright.sync_api import Playwright

from tests.browsers import phone, wait_true
from tests.phone.conftest import BATCH, PRESS, at_the_roller, stand
from tests.phone.dying import dying_phone, kill
from tests.play.crew import OWN_LINES
from tests.programs import Program, running

KEPT = "performance.getEntriesByName('kept').length >= {}"
BREAK = """void (IDBDatabase.prototype.transaction = () => {
  throw new DOMException('gone', 'InvalidStateError');
})"""
IN_CACHES = """async () => {
  const caches_ = await Promise.all((await caches.keys()).map((name) => caches.open(name)));
  const kept = await Promise.all(caches_.map((cache) => cache.keys()));
  return kept.flat().map(({ url }) => new URL(url).pathname);
}"""


@pytest.mark.parametrize("times", [4, pytest.param(50, marks=pytest.mark.long)])
def test_what_is_shown_as_kept_survives_a_browser_killed_in_mid_press(
    playwright: Playwright, program: Program, tmp_path: Path, times: int
) -> None:
    """Some presses are kept when the browser dies and some are not: none that was shown is lost."""
    chance = random.Random(20261126)
    there: set[str] = set()
    shown = unshown = 0
    for n in range(times + 1):
        with dying_phone(playwright, tmp_path / "phone") as context:
            page = context.pages[0]
            if n:
                at_the_roller(page, program)
            else:
                stand(page, program)
            lines = set(page.evaluate(OWN_LINES))
            assert there <= lines
            assert len(lines) >= shown
            there = lines
            if n == times:
                break
            context.set_offline(True)
            page.evaluate(PRESS)
            time.sleep(chance.random() * 0.03)
            kept = int(page.evaluate("performance.getEntriesByName('kept').length"))
            kill(tmp_path / "phone")
            shown = len(lines) + kept
            unshown += 1 - kept
    print(f"{times - unshown} of {times} presses were shown as kept; {len(there)} are there")


def test_every_write_asks_for_strict_durability(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "phone") as context:
        context.add_init_script(
            "window.asked = []; const open = IDBDatabase.prototype.transaction;"
            "IDBDatabase.prototype.transaction = function (...a) {"
            " window.asked.push([a[1], a[2]?.durability]); return open.apply(this, a); };"
        )
        page = context.pages[0]
        stand(page, program)
        page.evaluate(PRESS)
        wait_true(page, KEPT.format(1))
        asked = page.evaluate("window.asked")
        assert ["readwrite", "strict"] in asked
        assert [a for a in asked if a[0] == "readwrite" and a[1] != "strict"] == []


def test_a_phone_starts_with_the_server_gone_and_stands_where_it_stood(
    playwright: Playwright, tmp_path: Path
) -> None:
    with (
        running(tmp_path / "data", "demo") as program,
        phone(playwright, tmp_path / "p") as context,
    ):
        stand(context.pages[0], program)
        rods = context.pages[0].locator(".station [data-at=number]").inner_text()
    with phone(playwright, tmp_path / "p") as context:
        page = context.pages[0]
        at_the_roller(page, program)
        assert page.locator(".station [data-at=number]").inner_text() == rods


def test_a_database_that_breaks_is_said_large_and_the_press_stays_on_the_screen(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]
        stand(page, program)
        page.evaluate(BREAK)
        page.evaluate(PRESS)
        page.get_by_text("This phone can’t save").first.wait_for()


# Chromium's own way to set a quota has no effect on a profile on disk. What a full one does is to
# abort the transaction after the write was asked for; this does the same.
FILL = """const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function (...given) {
  const asked = put.apply(this, given);
  if (window.full) this.transaction.abort();
  return asked;
};"""


def test_a_full_phone_says_so_large_and_keeps_the_press_when_there_is_room_again(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "phone") as context:
        context.add_init_script(FILL)
        page = context.pages[0]
        stand(page, program)
        page.goto(f"http://localhost:{program.port}/floor/#/phone")
        page.get_by_text("MB used").first.wait_for()
        at_the_roller(page, program)
        page.wait_for_timeout(1600)
        page.evaluate("void (window.full = true)")
        page.evaluate(PRESS)
        page.get_by_text("This phone can’t save").first.wait_for()
        assert page.evaluate(OWN_LINES) == []
        page.evaluate("void (window.full = false)")
        page.get_by_role("button", name="Try again").click()
        page.locator(".station .finish").wait_for()
        wait_true(page, f"({OWN_LINES})().then((all) => all.length === 1)")


def test_a_wiped_phone_notices_and_names_what_was_lost(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]
        stand(page, program)
        page.evaluate(PRESS)
        wait_true(page, KEPT.format(1))
        page.goto(f"http://localhost:{program.port}/office/sign-in/")
        session = context.new_cdp_session(page)
        session.send(
            "Storage.clearDataForOrigin",
            {"origin": f"http://localhost:{program.port}", "storageTypes": "indexeddb"},
        )
        page.goto(f"http://localhost:{program.port}/floor/")
        page.get_by_text("lost entries 1 to 1").first.wait_for()


def test_a_second_tab_only_looks_and_says_so(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "phone") as context:
        stand(context.pages[0], program)
        other = context.new_page()
        other.goto(f"http://localhost:{program.port}/floor/#/b/{BATCH}")
        other.get_by_text("Open in another tab").first.wait_for()


def test_the_worker_leaves_the_office_and_the_wire_alone(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]
        stand(page, program)
        kept = page.evaluate(IN_CACHES)
        assert "/floor/" in kept
        assert [path for path in kept if path.startswith(("/sync/", "/office/"))] == []
        page.goto(f"http://localhost:{program.port}/office/")
        assert "/office/sign-in/" in page.url
