"""A picture's pages in a real browser: sound for a screen reader, drawn by pen, finger and keys."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as how
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from playwright.sync_api import Browser, Page, ViewportSize
from scipy.ndimage import label

from tests.browsers import PHONE, wait_true
from tests.desks import DESK, WHOLE
from tests.floor.test_screens import violations
from tests.programs import Program

TABLET = ViewportSize(width=820, height=1180)
FILL = """
from shop.store.access import access_shop
from tests.office.asks import a_picture
answer = {"key": a_picture(access_shop("demo"))}
"""


@pytest.fixture(scope="module")
def fill() -> str:
    return FILL


@pytest.fixture(scope="module")
def key(filled: Any) -> str:
    return str(filled["key"])


def whole(page: Page, key: str) -> None:
    """The picture's page with all that takes seconds."""
    page.goto(f"/office/pictures/{key}/")
    wait_true(page, WHOLE, 120)


def test_what_takes_seconds_comes_in_by_itself(page: Page, key: str) -> None:
    page.set_viewport_size(DESK)
    whole(page, key)
    for words in (
        "Nothing is too small.",
        "Good rod",
        "Measured by SSIM",
        "Make one of the chosen",
    ):
        assert page.get_by_text(words).count() == 1


def test_sums_follow_while_they_are_typed(page: Page, key: str) -> None:
    whole(page, key)
    page.fill("#lower [name=log]", "9")
    page.get_by_text("9000 g").wait_for()
    page.fill("#lower [name=rod]", "20")
    page.get_by_text("of 20 mm rod").wait_for()
    assert page.get_by_text("9000 g").count() == 1


def cells(page: Page) -> list[str]:
    return page.locator("#id_cells").input_value().split()


def at(page: Page, row: float, column: float) -> tuple[float, float]:
    """Where a cell of the grid is on the screen."""
    box = page.locator("canvas").bounding_box()
    assert box is not None
    cell = box["width"] / len(cells(page))
    return box["x"] + (column + 0.5) * cell, box["y"] + (row + 0.5) * cell


def test_a_pen_draws_cells_lines_and_fills_on_both_sides_and_takes_them_back(page: Page) -> None:
    page.goto("/office/pictures/new/grid/?cells=20")
    page.get_by_role("radio", name="Red").click()
    page.get_by_role("button", name="Both sides alike").click()
    page.mouse.move(*at(page, 5, 6))
    page.mouse.down()
    page.mouse.move(*at(page, 8, 6))
    page.mouse.up()
    assert [cells(page)[row][6] + cells(page)[row][13] for row in range(5, 9)] == ["dd"] * 4
    page.get_by_role("radio", name="Line").click()
    page.mouse.move(*at(page, 8, 6))
    page.mouse.down()
    page.mouse.move(*at(page, 8, 9))
    page.mouse.up()
    assert cells(page)[8] == "aaaaaaddddddddaaaaaa"
    page.get_by_role("radio", name="Blue").click()
    page.get_by_role("radio", name="Fill").click()
    page.mouse.click(*at(page, 14, 10))
    assert cells(page)[19][10] == "g"
    assert cells(page)[0][0] == "a", "outside the round nothing is laid"
    for _ in range(3):
        page.get_by_role("button", name="Undo").click()
    assert set("".join(cells(page))) == {"a"}


def test_keys_alone_draw_a_picture_and_keep_it(page: Page) -> None:
    page.goto("/office/pictures/new/grid/?cells=20")
    page.fill("#id_title", "By keys")
    page.locator("canvas").focus()
    for pressed in ("4", *["ArrowUp"] * 3, *["ArrowLeft"] * 4, "l", *["ArrowRight"] * 7, "l"):
        page.keyboard.press(pressed)
    assert cells(page)[7] == "aaaaaaddddddddaaaaaa"
    assert "Row 8, column 14: Red" in page.locator("#grid-at").inner_text()
    for _ in range(3):
        page.keyboard.press("ArrowDown")
        page.keyboard.press("Space")
    page.keyboard.press("u")
    page.keyboard.press("m")
    page.keyboard.press("Enter")
    assert [cells(page)[row][13] for row in (8, 9, 10)] == ["d", "d", "d"]
    assert [cells(page)[row][6] for row in (8, 9, 10)] == ["a", "a", "d"]
    page.keyboard.press("Tab")
    page.get_by_role("button", name="Keep it").press("Enter")
    page.get_by_role("heading", name="By keys").wait_for()


def test_a_finger_draws_without_a_mouse(browser: Browser, program: Program, page: Page) -> None:
    """A tablet of its own: touch is told as pointers, and the page does not scroll away."""
    tablet = browser.new_context(
        viewport=TABLET,
        has_touch=True,
        is_mobile=True,
        storage_state=page.context.storage_state(),
        base_url=f"http://localhost:{program.port}",
    ).new_page()
    tablet.goto("/office/pictures/new/grid/?cells=20")
    tablet.locator("canvas").scroll_into_view_if_needed()
    tablet.touchscreen.tap(*at(tablet, 10, 10))
    assert cells(tablet)[10][10] != "a"
    tablet.context.close()


def test_true_size_is_set_once_for_a_browser_and_then_true_everywhere(page: Page, key: str) -> None:
    whole(page, key)
    plain = page.locator("#seen .true-size svg").bounding_box()
    page.locator(".ruler summary").click()
    page.locator("#ruler").fill("1.25")
    wider = page.locator("#seen .true-size svg").bounding_box()
    assert plain is not None
    assert wider is not None
    # CSS: 96 px are 25.4 mm (CSS Values and Units 3, section 6.2).
    assert plain["width"] == pytest.approx(14 * 96 / 25.4, abs=0.5)
    assert wider["width"] == pytest.approx(1.25 * 14 * 96 / 25.4, abs=0.5)
    page.reload()
    wait_true(page, WHOLE, 120)
    bar = page.locator(".card-bar")
    page.locator(".ruler summary").click()
    box = bar.bounding_box()
    assert box is not None
    # ISO/IEC 7810: a card of size ID-1 is 85.60 mm wide.
    assert box["width"] == pytest.approx(1.25 * 85.6 * 96 / 25.4, abs=1)
    again = page.locator("#seen .true-size svg").bounding_box()
    assert again is not None
    assert again["width"] == pytest.approx(wider["width"], abs=0.1)
    page.locator("#ruler").fill("1")


def test_a_customer_approves_on_a_phone(
    page: Page, key: str, browser: Browser, program: Program
) -> None:
    page.set_viewport_size(DESK)
    whole(page, key)
    page.get_by_role("button", name="Make a proof").click()
    link = page.get_by_role("link", name="Open the proof").get_attribute("href")
    phone = browser.new_page(viewport=PHONE, base_url=f"http://localhost:{program.port}")
    phone.goto(str(link))
    assert violations(phone) == []
    assert phone.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    phone.locator("[name=seen]").check()
    phone.locator("[name=varies]").check()
    phone.get_by_label("Your name").fill("Ada L")
    phone.get_by_role("button", name="Approve").click()
    phone.get_by_text("By Ada L").wait_for()
    assert violations(phone) == []
    phone.close()
    page.reload()
    page.get_by_text("approved by Ada L").wait_for()


CELLS = """async ([address, ask, ...given]) => {
  const of = await import(address);
  if (ask === 'area') return of.area(given[0].map((row) => [...row]), given[1]);
  if (ask === 'line') return of.line(given[0], given[1]);
  return of.format(of.parse(given[0]));
}"""


@pytest.fixture(scope="module")
def address(page: Page) -> str:
    """Where the page's own module is."""
    page.goto("/office/pictures/new/grid/")
    source = page.locator("script[src$='grid.js']").get_attribute("src")
    return str(source).replace("grid.js", "cells.js")


POINTS = st.tuples(st.integers(0, 47), st.integers(0, 47))


@how(max_examples=60)
@given(one=POINTS, other=POINTS)
def test_a_line_is_as_long_as_it_must_be_and_never_half_a_cell_off(
    page: Page, address: str, one: tuple[int, int], other: tuple[int, int]
) -> None:
    found = np.array(page.evaluate(CELLS, [address, "line", one, other]))
    assert (tuple(found[0]), tuple(found[-1])) == (one, other)
    steps = max(abs(one[0] - other[0]), abs(one[1] - other[1]))
    assert len(found) == steps + 1
    straight = np.linspace(one, other, steps + 1)
    assert np.abs(found - straight).max() <= 0.5 + 1e-9


@how(max_examples=40)
@given(picture=arrays(np.int8, (12, 12), elements=st.integers(0, 1)), row=POINTS)
def test_a_fill_reaches_what_hangs_together_by_sides_inside_the_round(
    page: Page, address: str, picture: np.ndarray, row: tuple[int, int]
) -> None:
    """Against scipy's labelling."""
    start = row[0] % 12, row[1] % 12
    rows, columns = np.mgrid[:12, :12]
    within = np.hypot(rows - 5.5, columns - 5.5) <= 6
    own = (picture == picture[start]) & within
    names, _ = label(own)
    wanted = {(int(r), int(c)) for r, c in np.argwhere((names == names[start]) & own)}
    texts = ["".join("ab"[v] for v in line) for line in picture]
    found = page.evaluate(CELLS, [address, "area", texts, start])
    assert {tuple(place) for place in found} == (wanted if own[start] else set())
