"""The living page: every component of the floor has a place on it, and is drawn there by day and by
night by the phones' own modules."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.browsers import PHONE, wait_true
from tests.desks import DESK, WHOLE
from tests.floor.test_screens import violations

ROOT = Path(__file__).parents[2]
SCREENS = ROOT / "static/js/screens"
TEXT = (ROOT / "static/js/preview/specimens.js").read_text("utf-8")
SPECIMENS = re.findall(r"^  (\w+): \{ says: '[^']+', of: \[(.*?)\], shows: '([^']+)'", TEXT, re.M)
DRAWS = re.compile(r"from '\./(?:dom|drawing|panel|sign)\.js'|createElement|stamp\(")
# What draws nothing by itself, or only where a phone's own parts are: each with the reason.
ELSEWHERE = {
    "fit": "measures words that others draw",
    "floor": "puts the screens together",
    "context": "knows, and draws nothing",
    "beside": "brings the pages",
    "reads": "changes words that are drawn",
    "keys": "listens to keys",
    "attend": "says what changed to a screen reader; unseen",
    "ghosts": "keeps water off; unseen",
    "hang": "hangs a tablet on the wall",
    "scan": "a frame that moves over what stands",
    "awake": "keeps the screen on",
    "ring": "a frame and a sound, while it rings",
    "sound": "is heard",
    "voice": "is heard",
    "prompts": "is heard",
    "silence": "bars, after minutes without another phone",
    "soundnote": "wants a microphone",
    "files": "wants a camera, or a photo that was taken",
    "wall": "a tablet's page, walked by tests/floor/test_wall.py",
    "wallline": "the wall's lines",
}


def test_every_module_that_draws_has_a_place_on_the_page() -> None:
    drawing = {path.stem for path in SCREENS.glob("*.js") if DRAWS.search(path.read_text("utf-8"))}
    placed = {name for _, of, _ in SPECIMENS for name in re.findall(r"'(\w+)'", of)}
    assert drawing - placed - set(ELSEWHERE) == set()
    assert placed <= {path.stem for path in SCREENS.glob("*.js")}
    assert not placed & set(ELSEWHERE)


def test_a_place_on_the_page_was_read_for_every_specimen() -> None:
    assert len(SPECIMENS) == TEXT.count("says: '") >= 40


@pytest.mark.parametrize("light", ["", "dark"])
def test_the_page_has_a_frame_for_every_specimen(page: Page, light: str) -> None:
    page.set_viewport_size(DESK)
    page.goto(f"/office/look/?light={light}")
    page.locator("figure").first.wait_for()
    assert page.locator("figure iframe").count() == len(SPECIMENS)
    page.locator("figure").nth(3).scroll_into_view_if_needed()
    shown = page.frame_locator("figure:nth-of-type(1) iframe")
    shown.locator(".finish").wait_for()
    ground = shown.locator("body").evaluate("(e) => getComputedStyle(e).getPropertyValue('--ink')")
    assert ground == ("#f4eee3" if light else "#1c1917")
    wait_true(page, WHOLE, 120)
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    assert page.locator("h1").inner_text() == "The look"


@pytest.mark.parametrize(("name", "shows"), [(name, shows) for name, _, shows in SPECIMENS])
def test_a_specimen_shows_what_it_is_the_place_of(page: Page, name: str, shows: str) -> None:
    page.set_viewport_size(PHONE)
    for light in ("", "dark"):
        page.goto(f"/office/look/phone/?show={name}&light={light}")
        for selector in shows.split(", "):
            page.locator(selector).first.wait_for(timeout=4_000)
    assert violations(page) == []
