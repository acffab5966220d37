"""Press-buttons, pedals, wet screens: what real keys and real touches finish, and what not."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, CDPSession, Page, Playwright

from tests.browsers import wait_true
from tests.floor.listening import listening
from tests.programs import Program, running

ROLLER = "demo-handover/roller"
RODS = ".station [data-at=number]"
DEAD_MS = 1600
# What the number says before the browser is given any time.
ONE_MORE = f"""() => {{
  document.querySelector('.station .finish').click();
  return document.querySelector('{RODS}').textContent;
}}"""


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    with running(tmp_path_factory.mktemp("press") / "data", "demo") as started:
        yield started


@pytest.fixture(scope="module")
def phone(
    playwright: Playwright, program: Program, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[BrowserContext, Page]]:
    folder = tmp_path_factory.mktemp("press") / "phone"
    with listening(playwright, program, folder, ROLLER, who="Isolde", by_hand=True) as found:
        yield found


@pytest.fixture
def page(phone: tuple[BrowserContext, Page]) -> Page:
    """At the roller, where each press is a rod more; the last press is long ago."""
    _, page = phone
    page.goto(page.url.split("#")[0] + f"#/b/{ROLLER}")
    page.locator(RODS).wait_for()
    page.locator(".board").focus()
    page.clock.run_for(DEAD_MS)
    return page


@pytest.fixture
def fingers(phone: tuple[BrowserContext, Page]) -> Iterator[CDPSession]:
    """Touches as the screen reports them, several at once if need be."""
    context, page = phone
    session = context.new_cdp_session(page)
    yield session
    session.detach()


def rods(page: Page) -> int:
    return int(page.locator(RODS).inner_text())


def middle(page: Page, name: str) -> dict[str, float]:
    box = page.locator(name).first.bounding_box()
    assert box
    return {"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}


def touch(fingers: CDPSession, kind: str, *points: dict[str, float]) -> None:
    named = [{**point, "id": i} for i, point in enumerate(points)]
    fingers.send("Input.dispatchTouchEvent", {"type": f"touch{kind}", "touchPoints": named})


@pytest.mark.parametrize("key", ["Space", "Enter", "PageDown", "ArrowRight"])
def test_what_press_buttons_and_pedals_send_counts_once(page: Page, key: str) -> None:
    before = rods(page)
    page.keyboard.press(key)
    assert rods(page) == before + 1


def test_a_count_is_one_more_within_the_press_and_stays_so_when_it_is_reckoned(page: Page) -> None:
    before = rods(page)
    assert page.evaluate(ONE_MORE) == str(before + 1)
    # All that follows from it is reckoned anew: nothing is counted twice, nothing lost.
    page.clock.run_for(DEAD_MS)
    assert rods(page) == before + 1
    page.locator(".stamps .back-key").click()
    assert rods(page) == before


def test_one_press_in_a_second_and_a_half_and_a_key_held_down_is_one(page: Page) -> None:
    before = rods(page)
    for _ in range(5):
        page.keyboard.press("PageDown")
        page.clock.run_for(250)
    assert rods(page) == before + 1
    page.clock.run_for(DEAD_MS)
    # Held: a keyboard repeats by itself, long after the dead time is over.
    page.keyboard.down("PageDown")
    for _ in range(5):
        page.clock.run_for(DEAD_MS)
        page.keyboard.down("PageDown")
    page.keyboard.up("PageDown")
    assert rods(page) == before + 2


def test_a_button_with_a_key_of_its_own_is_taught_by_pressing_it_once(page: Page) -> None:
    before = rods(page)
    page.keyboard.press("F8")
    assert rods(page) == before
    page.goto(page.url.split("#")[0] + "#/phone")
    page.locator(".row", has_text="Press-button or pedal").tap()
    page.locator(".panel", has_text="Press it once").wait_for()
    page.keyboard.press("Tab")
    page.keyboard.press("F8")
    page.locator(".panel", has_text="It sends ‘F8’.").wait_for()
    page.locator(".row", has_text="Press-button: F8").wait_for()
    page.goto(page.url.split("#")[0] + f"#/b/{ROLLER}")
    page.reload()
    page.locator(".board").tap(position={"x": 5, "y": 5})
    wait_true(page, "document.body.dataset.sound === 'ready'", 40)
    page.clock.run_for(DEAD_MS)
    page.keyboard.press("F8")
    assert rods(page) == before + 1
    page.clock.run_for(DEAD_MS)
    page.keyboard.press("PageDown")
    assert rods(page) == before + 2
    page.goto(page.url.split("#")[0] + "#/phone")
    page.locator(".row", has_text="Press-button: F8").tap()
    page.locator(".panel").get_by_role("button", name="Forget it").tap()
    page.goto(page.url.split("#")[0] + f"#/b/{ROLLER}")
    page.clock.run_for(DEAD_MS)
    page.keyboard.press("F8")
    assert rods(page) == before + 2


def test_water_that_touches_a_key_twice_presses_it_once(page: Page, fingers: CDPSession) -> None:
    key = middle(page, ".station .keys button")
    twice(page, fingers, key, 200)
    # The second touch would press the panel's own key, or close it again.
    assert page.locator(".panel").count() == 1
    page.keyboard.press("Escape")
    page.evaluate(COUNT_CLICKS)
    page.clock.run_for(DEAD_MS)
    where = middle(page, "#counted")
    twice(page, fingers, where, 200)
    assert page.evaluate("window.clicks") == 1
    page.clock.run_for(DEAD_MS)
    twice(page, fingers, where, 600)
    assert page.evaluate("window.clicks") == 3


COUNT_CLICKS = """() => {
  window.clicks = 0;
  const key = Object.assign(document.createElement('button'), { id: 'counted', textContent: 'x' });
  document.querySelector('.station .keys').append(key);
  key.addEventListener('click', () => { window.clicks += 1; });
}"""


def twice(page: Page, fingers: CDPSession, where: dict[str, float], apart_ms: int) -> None:
    for _ in range(2):
        touch(fingers, "Start", where)
        touch(fingers, "End")
        page.clock.run_for(apart_ms)


def test_two_places_touched_at_once_are_no_press(page: Page, fingers: CDPSession) -> None:
    before = rods(page)
    finish, other = middle(page, ".station .finish"), middle(page, ".station .stamps button")
    touch(fingers, "Start", finish, other)
    touch(fingers, "End")
    assert rods(page) == before
    assert page.evaluate("location.hash").endswith("/roller")
    page.clock.run_for(DEAD_MS)
    touch(fingers, "Start", finish)
    touch(fingers, "End")
    assert rods(page) == before + 1


def test_a_wet_patch_that_rests_on_the_screen_does_not_lock_it(
    page: Page, fingers: CDPSession
) -> None:
    before = rods(page)
    patch, finish = middle(page, ".station .rod"), middle(page, ".station .finish")
    touch(fingers, "Start", patch)
    page.clock.run_for(DEAD_MS)
    touch(fingers, "Start", patch, finish)
    touch(fingers, "End")
    assert rods(page) == before + 1


def test_figures_are_stepped_as_fast_as_a_hand_can(page: Page, fingers: CDPSession) -> None:
    page.goto(page.url.split("#")[0] + "#/phone")
    page.locator(".row", has_text="One key for everything").tap()
    page.clock.run_for(600)
    value = page.locator(".panel .stepper .value")
    before = int(value.inner_text().split()[0])
    plus = middle(page, ".panel .stepper button:has-text('+')")
    twice(page, fingers, plus, 150)
    assert int(value.inner_text().split()[0]) == before + 2
    page.keyboard.press("Escape")
