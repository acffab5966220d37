"""A phone on a line that loses answers, cuts uploads, falls silent or shows a login page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright

from tests.browsers import phone, wait_true
from tests.faults import Line, faulty_line
from tests.phone.conftest import BATCH, PRESS, stand, stored
from tests.programs import Program, running, wait_until

STAGE = "document.querySelector('.stage')?.textContent.trim()"
WORKER_ASKS = "fetch('/sync/nothing').then((a) => a.headers.get('content-type'), () => 'failed')"
HIDE = "Object.defineProperty(document, 'hidden', { value: true, configurable: true })"
SHOW = "delete document.hidden, document.dispatchEvent(new Event('visibilitychange'))"
STREAMS = """async () => {
  const open = Array.from({ length: 7 }, () => new EventSource('/sync/nothing'));
  const kept = performance.getEntriesByName('kept').length;
  setTimeout(() => open.forEach((stream) => stream.close()), 20000);
  return kept;
}"""


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    with running(tmp_path_factory.mktemp("faults") / "data", "demo") as started:
        yield started


@pytest.fixture(scope="module")
def line(program: Program) -> Iterator[Line]:
    with faulty_line(program.port) as found:
        yield found


@pytest.fixture(scope="module")
def context(
    playwright: Playwright, program: Program, line: Line, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[BrowserContext]:
    """A phone that knows the server by the line's address."""
    with phone(playwright, tmp_path_factory.mktemp("phone")) as found:
        stand(found.pages[0], replace(program, port=line.port))
        yield found


@pytest.fixture
def page(context: BrowserContext, line: Line) -> Iterator[Page]:
    page = context.pages[0]
    line.fault = ""
    wait_true(page, f"{STAGE} === 'at the shop'")
    page.wait_for_timeout(1600)
    yield page
    line.fault = ""
    wait_true(page, f"{STAGE} === 'at the shop'", 30)


def press_and_keep(page: Page) -> None:
    kept = page.evaluate("performance.getEntriesByName('kept').length")
    page.evaluate(PRESS)
    wait_true(page, f"performance.getEntriesByName('kept').length > {kept}")


def test_an_answer_lost_after_the_commit_is_asked_for_again_and_stored_once(
    page: Page, program: Program, line: Line
) -> None:
    before = stored(program.data)
    line.fault, line.lost = "answers lost", 0
    press_and_keep(page)
    wait_until(lambda: len(stored(program.data) - before) == 1, 20)
    # The commit comes before its answer.
    wait_until(lambda: line.lost > 0, 20)
    # It is stored, and the phone cannot know.
    wait_true(page, f"{STAGE}.includes('only here')")
    line.fault = ""
    wait_true(page, f"{STAGE} === 'at the shop'", 30)
    assert len(stored(program.data) - before) == 1


def test_an_upload_cut_half_way_is_no_entry_and_comes_again(
    page: Page, program: Program, line: Line
) -> None:
    before = stored(program.data)
    line.fault, line.lost = "uploads cut", 0
    press_and_keep(page)
    wait_until(lambda: line.lost >= 2, 20)
    assert stored(program.data) == before
    line.fault = ""
    wait_true(page, f"{STAGE} === 'at the shop'", 30)
    assert len(stored(program.data) - before) == 1


@pytest.mark.parametrize("fault", ["gone", "silent", "captive"])
def test_a_press_is_kept_and_never_said_to_be_at_the_shop_when_it_is_not(
    page: Page, program: Program, line: Line, fault: str
) -> None:
    before = stored(program.data)
    line.fault = fault
    press_and_keep(page)
    page.wait_for_timeout(2500)
    assert "only here" in page.evaluate(STAGE)
    assert stored(program.data) == before


def test_a_login_page_of_the_network_is_never_kept_as_the_app(
    page: Page, context: BrowserContext, line: Line
) -> None:
    line.fault = "captive"
    address = f"http://localhost:{line.port}/floor/#/b/{BATCH}"
    page.goto(address.replace("#", "?again#"))
    page.locator(".station .finish").wait_for()
    context.set_offline(True)
    page.reload()
    page.locator(".station .finish").wait_for()
    assert "LOG IN" not in page.locator("body").inner_text()
    context.set_offline(False)
    line.fault = ""
    page.goto(address)
    page.locator(".station .finish").wait_for()


def test_the_faults_reach_the_worker_too(page: Page, context: BrowserContext, line: Line) -> None:
    """The rig itself: what it does to the page, it does to the worker."""
    [worker] = context.service_workers
    assert worker.evaluate(WORKER_ASKS) == "application/json"
    line.fault = "gone"
    assert worker.evaluate(WORKER_ASKS) == "failed"
    line.fault = "captive"
    assert worker.evaluate(WORKER_ASKS) == "text/html"


def test_a_phone_that_wakes_asks_at_once_and_a_hidden_one_is_quiet(page: Page) -> None:
    asked: list[str] = []
    page.on("request", lambda r: asked.append(r.url) if "/sync/pull" in r.url else None)
    page.evaluate(HIDE)
    page.wait_for_timeout(1500)
    asked.clear()
    page.wait_for_timeout(6500)
    assert asked == []
    page.evaluate(SHOW)
    page.wait_for_timeout(500)
    assert asked


def test_seven_hanging_streams_do_not_hold_up_a_press(page: Page, program: Program) -> None:
    """Browsers open six connections a host on HTTP/1.1; the app itself opens no stream at all."""
    before = stored(program.data)
    page.evaluate(STREAMS)
    press_and_keep(page)
    wait_until(lambda: len(stored(program.data) - before) == 1, 20)
