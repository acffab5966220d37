"""Every screen of the floor by Tab alone: the focus is seen, and nothing is out of reach.

Measured after WCAG 2.2: 2.1.1 keyboard, 2.1.2 no trap, 2.4.3 order, 2.4.11 not obscured, and 2.4.13
(AAA) appearance: pixels that change by 3:1 between focused and not, of at least the area of a
perimeter 2 CSS px thick.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import FloatRect, Page

from tests.floor.test_screens import BOARDS, PAGES, SIZES

Go = Callable[[str], None]
SCALE, MARGIN, RATIO, THICK, MOST = 2, 8, 3.0, 2, 250
PLACES = [*PAGES, "b/demo-planned/end", "guide", "earlier", *BOARDS]
# Everything a keyboard can stand on, in the order of the page.
ALL = """() => {
  const keys = [...document.querySelectorAll('a[href], button, input, textarea, [tabindex="0"]')];
  const open = (e) => !e.disabled && !e.closest('[inert]') && e.checkVisibility();
  window.reachable = keys.filter(open);
  return window.reachable.length;
}"""
HERE = """() => {
  const e = document.activeElement, r = e.getBoundingClientRect();
  let down = 0;
  for (let box = e; box; box = box.parentElement) down += box.scrollTop;
  const spots = [[0.5, 0.5], [0.1, 0.1], [0.9, 0.9]];
  const seen = ([x, y]) => {
    const top = document.elementFromPoint(r.left + r.width * x, r.top + r.height * y);
    return e === top || e.contains(top);
  };
  const name = (e.getAttribute('aria-label') ?? e.innerText).slice(0, 40);
  const kind = `${e.tagName}.${e.className.replace(/rare|undo|own/g, '').trim()}`;
  return {
    at: window.reachable.indexOf(e), name, kind, body: e === document.body, down,
    left: r.left, top: r.top, right: r.right, bottom: r.bottom, free: spots.every(seen),
  };
}"""


# Everything that was asked of the page before is done, and painted.
SETTLED = "new Promise((done) => requestAnimationFrame(() => setTimeout(done, 50)))"


@pytest.fixture(scope="module")
def walker(page: Page) -> Page:
    """The phone with all of the app: what watches over the focus has come."""
    page.set_viewport_size(SIZES)
    page.goto(page.url.partition("#")[0] + "#/phone")
    page.get_by_role("heading", name="This phone").wait_for()
    page.locator(".told").wait_for(state="attached")
    return page


def stops(page: Page) -> int:
    """How many there are, once the screen stands."""
    for _ in range(3):
        page.evaluate(SETTLED)
    return int(page.evaluate(ALL))


def walk(page: Page) -> list[dict[str, Any]]:
    """Where Tab goes, once round."""
    found: list[dict[str, Any]] = []
    for _ in range(MOST):
        page.keyboard.press("Tab")
        here = page.evaluate(HERE)
        if found and (here["at"] == found[0]["at"]):
            return found
        if not here["body"]:
            found.append(here)
    raise AssertionError(f"no way round: {[here['name'] for here in found][-6:]}")


def in_order(found: list[dict[str, Any]]) -> list[str]:
    """Steps that go up the page, or back in a row; the way round is one such step."""
    wrong = []
    for one, other in pairwise(found):
        gone = other["down"] - one["down"]
        higher = other["bottom"] + gone <= one["top"] + 1
        beside = abs(other["top"] + gone - one["top"]) < 2 and other["left"] < one["left"]
        if (higher or beside) and other["at"] != 0:
            wrong.append(f"{one['name']} → {other['name']}")
    return wrong


@pytest.mark.parametrize("place", PLACES)
def test_tab_reaches_everything_in_order_and_nothing_hides_it(
    walker: Page, go: Go, place: str
) -> None:
    go(place)
    number = stops(walker)
    found = walk(walker)
    assert sorted(here["at"] for here in found) == list(range(number))
    rolled = [here["at"] for here in found]
    start = rolled.index(0)
    assert rolled[start:] + rolled[:start] == list(range(number))
    assert [here["name"] for here in found if not here["free"]] == []
    assert in_order(found) == []


def luminance(pixel: tuple[int, ...]) -> float:
    """Relative luminance of sRGB, WCAG 2.2."""
    parts = [c / 255 for c in pixel[:3]]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: tuple[int, ...], other: tuple[int, ...]) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def changed(focused: bytes, plain: bytes) -> float:
    """Area [CSS px²] that changes by 3:1 or more."""
    pictures = [Image.open(io.BytesIO(shot)).convert("RGB").tobytes() for shot in (focused, plain)]
    pairs = zip(*(zip(*[iter(each)] * 3, strict=True) for each in pictures), strict=True)
    known: dict[tuple[tuple[int, ...], tuple[int, ...]], bool] = {}
    count = 0
    for pair in pairs:
        if pair[0] == pair[1]:
            continue
        if pair not in known:
            known[pair] = contrast(*pair) >= RATIO
        count += known[pair]
    return count / SCALE**2


def appearance(page: Page, here: dict[str, Any]) -> tuple[float, float]:
    """Area that changes, and the area of the perimeter 2 px thick."""
    left, top = max(here["left"] - MARGIN, 0), max(here["top"] - MARGIN, 0)
    right = min(here["right"] + MARGIN, SIZES["width"])
    bottom = min(here["bottom"] + MARGIN, SIZES["height"])
    clip = FloatRect(x=left, y=top, width=right - left, height=bottom - top)
    focused = page.screenshot(clip=clip)
    element = page.evaluate_handle("document.activeElement")
    page.evaluate("document.activeElement.blur()")
    plain = page.screenshot(clip=clip)
    element.evaluate("(e) => e.focus({ preventScroll: true })")
    wide, high = here["right"] - here["left"], here["bottom"] - here["top"]
    return changed(focused, plain), 2 * THICK * (wide + high)


def measure(page: Page, known: dict[str, tuple[float, float]]) -> None:
    """Every kind of key that Tab comes to and that was not measured before."""
    for _ in range(stops(page)):
        page.keyboard.press("Tab")
        here = page.evaluate(HERE)
        if not here["body"] and here["kind"] not in known:
            known[here["kind"]] = appearance(page, here)


KINDS = ["", "phone", "people", "incident", "b/demo-planned/setup", "b/demo-handover/roller"]
KINDS += ["b/demo-planned/end", "b/demo-planned/cautions", "b/demo-handover/handover"]


def test_the_focus_is_seen_on_every_kind_of_key(walker: Page, go: Go) -> None:
    known: dict[str, tuple[float, float]] = {}
    for place in KINDS:
        go(place)
        measure(walker, known)
    go("b/demo-handover/roller")
    for key in ("Went off", "Write", "…"):
        walker.locator(".station button", has_text=key).click()
        measure(walker, known)
        walker.keyboard.press("Escape")
    poor = {kind: area for kind, area in known.items() if area[0] < area[1]}
    least = min(known, key=lambda kind: known[kind][0] / known[kind][1])
    print(f"\nfocus: {len(known)} kinds of keys; least {least}: {known[least]}")
    assert poor == {}


@pytest.mark.parametrize("key", ["Pass", "Went off", "Write"])
def test_a_panel_keeps_the_keys_and_gives_them_back(walker: Page, go: Go, key: str) -> None:
    go("b/demo-planned/roller")
    walker.locator(".keys button", has_text=key).focus()
    walker.keyboard.press("Enter")
    panel = walker.locator(".panel")
    panel.wait_for()
    stops(walker)
    found = walk(walker)
    places = {here["kind"]: here["free"] for here in found}
    assert all(places.values()), places
    inside = "document.activeElement.closest('.panel, .rail, .bars') !== null"
    for _ in range(len(found)):
        walker.keyboard.press("Tab")
        assert walker.evaluate(inside)
    walker.keyboard.press("Escape")
    assert panel.count() == 0
    assert walker.evaluate("document.activeElement.className") == "board"


def test_by_tab_the_pour_is_reached_and_its_rail_is_not(walker: Page, go: Go) -> None:
    go("b/demo-planned/kettle")
    hot = walker.locator(".hot")
    for _ in range(20):
        if hot.count():
            break
        walker.locator(".keys button", has_text="Pass").click()
        walker.locator(".panel").get_by_text("No hands free").click()
        walker.wait_for_timeout(60)
    stops(walker)
    found = walk(walker)
    names = [here["name"] for here in found]
    assert {"Burn", "now"} <= set(names)
    assert not [name for name in names if name.startswith("Boil C: up")]
    while "Poured" not in walker.evaluate(HERE)["name"]:
        walker.keyboard.press("Tab")
    walker.wait_for_timeout(1600)
    walker.keyboard.press("Enter")
    assert hot.count() == 0
