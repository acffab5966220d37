"""The demo's floor on one phone, for every test of this folder."""

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone
from tests.programs import Program, running


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    with running(tmp_path_factory.mktemp("floor") / "data", "demo") as started:
        yield started


@pytest.fixture(scope="module")
def page(
    playwright: Playwright, program: Program, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Page]:
    """A phone of the lead maker's."""
    with phone(playwright, tmp_path_factory.mktemp("phone")) as context:
        tab = context.pages[0]
        tab.goto(f"http://localhost:{program.port}/floor/#add={add_phone(program.data)['code']}")
        tab.locator(".row", has_text="Maren").click(timeout=30_000)
        tab.locator(".row", has_text="L6329C").wait_for()
        yield tab


@pytest.fixture
def go(page: Page, program: Program) -> Callable[[str], None]:
    """To a place of the floor, freshly drawn."""

    def to(place: str) -> None:
        page.goto(f"http://localhost:{program.port}/floor/#/")
        page.goto(f"http://localhost:{program.port}/floor/#/{place}")
        page.locator("#app > *").last.wait_for()
        page.wait_for_timeout(150)

    return to
