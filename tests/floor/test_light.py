"""Light against glare, dark for night where the phone was told so: words keep 7:1 in both (WCAG 2.2
criterion 1.4.6)."""

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Page

from tests.floor.test_screens import BOARDS, PAGES, SIZES, violations

Go = Callable[[str], None]
GROUND = "getComputedStyle(document.body).backgroundColor"
STONE, NIGHT = "rgb(220, 216, 207)", "rgb(29, 25, 22)"


@pytest.fixture(autouse=True)
def usual(page: Page) -> Iterator[None]:
    page.set_viewport_size(SIZES)
    yield
    page.emulate_media(color_scheme="light")
    wear(page, "")


def wear(page: Page, light: str) -> None:
    page.evaluate("(light) => { document.documentElement.dataset.light = light; }", light)


@pytest.mark.parametrize("place", [*PAGES, *BOARDS, "b/demo-planned/end", "earlier", "ready"])
def test_by_night_a_screen_has_no_flaw_that_axe_can_find_and_contrast_of_seven(
    page: Page, go: Go, place: str
) -> None:
    go(place)
    wear(page, "dark")
    assert page.evaluate("getComputedStyle(document.documentElement).colorScheme") == "dark"
    assert violations(page) == []


@pytest.mark.parametrize("name", ["Write", "Went off", "Pass"])
def test_by_night_a_panel_keeps_its_contrast(page: Page, go: Go, name: str) -> None:
    go("b/demo-planned/kettle")
    page.locator(".keys button", has_text=name).click()
    wear(page, "dark")
    assert violations(page) == []


def test_it_is_light_whatever_the_phone_prefers_until_somebody_chooses(page: Page, go: Go) -> None:
    page.emulate_media(color_scheme="dark")
    go("phone")
    assert page.evaluate(GROUND) == STONE
    for words, ground in (
        ("Dark, for night", NIGHT),
        ("Light or dark as the phone is set", NIGHT),
        ("Light, for day", STONE),
        ("Dark, for night", NIGHT),
    ):
        page.locator(".row", has_text="Press for: ").click()
        page.locator(".row", has=page.get_by_text(words, exact=True)).first.wait_for()
        assert page.evaluate(GROUND) == ground


def test_what_was_chosen_is_kept_and_the_phones_own_setting_is_followed_as_it_changes(
    page: Page, go: Go
) -> None:
    go("phone")
    page.locator(".row", has=page.get_by_text("Dark, for night", exact=True)).first.wait_for()
    page.reload()
    page.locator(".row", has_text="Press for: ").wait_for()
    assert page.evaluate(GROUND) == NIGHT
    page.locator(".row", has_text="Press for: ").click()
    grounds = []
    for scheme in ("light", "dark", "light"):
        page.emulate_media(color_scheme=scheme)
        grounds.append(page.evaluate(GROUND))
    assert grounds == [STONE, NIGHT, STONE]
    page.reload()
    page.locator(".row", has_text="Press for: ").wait_for()
    assert page.evaluate("document.documentElement.dataset.light") == "phone"
    page.locator(".row", has_text="Press for: ").click()


def test_the_boils_are_told_apart_by_night_too(page: Page, go: Go) -> None:
    grounds = set()
    for batch in ("demo-planned", "demo-handover"):
        go(f"b/{batch}/roller")
        wear(page, "dark")
        grounds.add(page.evaluate(GROUND))
    assert len(grounds) == 2
