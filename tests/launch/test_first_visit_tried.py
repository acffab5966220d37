"""The first page tries whether a phone finds and trusts the shop, and says what is missing."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright

from shop.launch.authority import open_authority
from shop.launch.first_visit import Place, first_visit_server, pages
from tests.browsers import phone
from tests.programs import Program, free_port, running
from tests.trust import trusting_home

# What the shop's network does for names that end in .local.
FINDS = "--host-resolver-rules=MAP *.local 127.0.0.1"
FIRST = free_port()


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    lan = ("--lan", "--no-announce", "--host", "sugar-loft.local")
    first = ("--first-visit-port", str(FIRST))
    with running(tmp_path_factory.mktemp("shop"), "serve", *lan, *first) as program:
        yield program


def found(page: Page, name: str) -> str:
    """What the page says once it has found this; the kind of answer stands in the page."""
    page.locator(f"#tried[data-found={name}]").wait_for()
    return page.locator("#tried").inner_text()


def test_a_phone_that_does_not_find_the_name_is_told_so(
    shop: Program, playwright: Playwright, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "profile") as context:
        page = context.pages[0]
        page.goto(f"http://127.0.0.1:{FIRST}/")
        assert "can’t find the name sugar-loft.local" in found(page, "name")
        assert page.locator("#open").is_hidden()


def test_no_certificate_an_untrusted_one_and_another_are_told_apart(
    shop: Program, playwright: Playwright, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "profile", home=tmp_path, flags=[FINDS]) as context:
        page = context.pages[0]
        page.goto(f"http://sugar-loft.local:{FIRST}/")
        assert "Begin with step 1" in found(page, "missing")
        with page.expect_download():
            page.get_by_text("Fetch the certificate").click()
        page.get_by_text("Try again").click()
        assert "does not trust it yet" in found(page, "untrusted")
        page.evaluate("localStorage.setItem('fetched', 'AA BB')")
        page.get_by_text("Try again").click()
        assert "another certificate before" in found(page, "other")


def test_a_phone_that_trusts_it_opens_the_floor_and_sees_that_it_is_kept(
    shop: Program, playwright: Playwright, tmp_path: Path
) -> None:
    home = trusting_home(tmp_path / "home", shop.data / "authority" / "root.pem")
    with phone(playwright, tmp_path / "profile", home=home, flags=[FINDS]) as context:
        page = context.pages[0]
        page.goto(f"http://sugar-loft.local:{FIRST}/")
        assert "finds sugar-loft.local and trusts it" in found(page, "trusted")
        page.locator("#open").click()
        page.get_by_text("This phone keeps Kettleside").wait_for()
        page.get_by_text("Not installed: data may vanish").wait_for()


def test_a_warning_that_was_clicked_past_is_told_from_trust(
    shop: Program, playwright: Playwright, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "profile", home=tmp_path, flags=[FINDS]) as context:
        page = context.pages[0]
        session = context.new_cdp_session(page)
        # The page is shown as after 'proceed anyway'; a worker is still refused.
        session.send("Security.enable")
        session.send("Security.setIgnoreCertificateErrors", {"ignore": True})
        page.goto(f"https://sugar-loft.local:{shop.port}/floor/")
        page.get_by_text("a warning was only clicked past").wait_for()


def test_a_server_that_does_not_answer_is_told_from_a_name_that_is_not_found(
    playwright: Playwright, tmp_path: Path
) -> None:
    authority, port = open_authority(tmp_path / "authority", "sugar-loft.local"), free_port()
    place = Place("sugar-loft.local", "https://sugar-loft.local:9", port, "192.0.2.7")
    answers = pages(authority, place, lambda: False)
    with (
        first_visit_server("127.0.0.1", port, answers),
        phone(playwright, tmp_path / "profile", flags=[FINDS]) as context,
    ):
        page = context.pages[0]
        page.goto(f"http://sugar-loft.local:{port}/")
        assert "Tell the office" in found(page, "server")
