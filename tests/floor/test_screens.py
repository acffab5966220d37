"""Every screen: readable at its distance, pressable with a knuckle, sound for a screen reader."""

import json
import time
from collections.abc import Callable
from pathlib import Path

import axe_playwright_python
import pytest
from playwright.sync_api import Page, ViewportSize

Go = Callable[[str], None]
AXE = next(Path(axe_playwright_python.__file__).parent.rglob("axe.min.js"))
RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
    "rules": {"color-contrast-enhanced": {"enabled": True}},
}
STATIONS = ["setup", "kettle", "table", "hook", "block", "roller", "packing"]
BOARDS = [f"b/{batch}/{s}" for batch in ("demo-planned", "demo-handover") for s in STATIONS]
PAGES = [
    "",
    "people",
    "phone",
    "incident",
    "b/demo-planned",
    "b/demo-handover/back",
    "b/demo-handover/handover",
]
PAGES += [f"b/demo-planned/{place}" for place in ("handover", "owed", "cautions", "burn")]
SIZES = ViewportSize(width=390, height=844)
NARROW = ViewportSize(width=320, height=844)
LYING = ViewportSize(width=844, height=390)

MEASURE = """() => {
  const seen = (e) => {
    const r = e.getBoundingClientRect();
    return r.width && r.height && !e.closest('[hidden]');
  };
  const all = (s) => [...document.querySelectorAll(s)].filter(seen);
  const px = (s) => all(s).map((e) => parseFloat(getComputedStyle(e).fontSize));
  const area = ({ width, height }) => width * height;
  return {
    call: px('.station .call'), number: px('.station .number'), say: px('.station .say'),
    finish: all('.station .finish').map((e) => area(e.getBoundingClientRect()))[0] ?? null,
    keys: all('button').map((e) => Math.round(e.getBoundingClientRect().height)),
    wide: document.documentElement.scrollWidth - innerWidth, room: innerWidth * innerHeight,
  };
}"""


def violations(page: Page) -> list[str]:
    """What axe finds, contrast of 7:1 included; run by the debugger, as the page has no eval."""
    session = page.context.new_cdp_session(page)
    session.send("Runtime.evaluate", {"expression": AXE.read_text("utf-8")})
    run = f"axe.run(document, {json.dumps(RULES)})"
    answer = session.send(
        "Runtime.evaluate", {"expression": run, "awaitPromise": True, "returnByValue": True}
    )
    found = answer["result"]["value"]["violations"]
    session.detach()
    return [f"{v['id']}: {[n['target'] for n in v['nodes']][:3]}" for v in found]


@pytest.mark.parametrize("place", [*PAGES, *BOARDS])
def test_a_screen_has_no_flaw_that_axe_can_find_and_contrast_of_seven(
    page: Page, go: Go, place: str
) -> None:
    page.set_viewport_size(SIZES)
    go(place)
    assert violations(page) == []


def test_an_address_of_no_station_leads_to_the_stations_of_the_boil(page: Page, go: Go) -> None:
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    go("b/demo-planned/oven")
    page.locator(".row", has_text="Kettle").wait_for()
    assert wrong == []


@pytest.mark.parametrize("place", BOARDS)
def test_a_board_is_read_at_two_metres_and_finished_with_a_fist(
    page: Page, go: Go, place: str
) -> None:
    page.set_viewport_size(SIZES)
    go(place)
    found = page.evaluate(MEASURE)
    assert min(found["call"]) >= 82
    assert min(found["number"], default=103) >= 103
    assert min(found["say"]) >= 36
    if found["finish"] is not None:
        assert found["finish"] >= found["room"] / 4
    assert min(found["keys"], default=64) >= 64


@pytest.mark.parametrize("size", [SIZES, NARROW, LYING], ids=["390", "320", "lying"])
@pytest.mark.parametrize("place", [*PAGES, "b/demo-planned/kettle", "b/demo-handover/roller"])
def test_nothing_is_wider_than_the_phone(
    page: Page, go: Go, place: str, size: ViewportSize
) -> None:
    page.set_viewport_size(size)
    go(place)
    assert page.evaluate(MEASURE)["wide"] <= 0


def test_every_boil_shows_its_letter_and_pattern(page: Page, go: Go) -> None:
    page.set_viewport_size(SIZES)
    grounds = {}
    for batch, letter in (("demo-planned", "C"), ("demo-handover", "B")):
        go(f"b/{batch}/roller")
        badge = page.locator(".rail .badge")
        assert badge.get_attribute("aria-label") == f"Boil {letter}"
        grounds[letter] = (
            page.evaluate("getComputedStyle(document.body).backgroundColor"),
            badge.locator("rect").get_attribute("fill"),
        )
    assert len(set(grounds.values())) == 2


def call(page: Page) -> str:
    return " ".join(page.locator(".station .call").inner_text().split())


def later(page: Page) -> None:
    """Puts off every reading that is asked for."""
    panel = page.locator(".panel.reading")
    while panel.count():
        panel.get_by_role("button", name="Later").click()


def test_a_second_press_within_a_second_and_a_half_is_a_ghost(page: Page, go: Go) -> None:
    go("b/demo-planned/setup")
    assert call(page) == "Read card"
    page.locator(".finish").tap()
    assert call(page) == "Cautions"
    page.locator(".finish").tap()
    page.keyboard.press("PageDown")
    assert call(page) == "Cautions"


@pytest.mark.parametrize("key", ["PageDown", "ArrowRight", "Space", "Enter"])
def test_a_pedals_key_finishes_only_from_the_board(page: Page, go: Go, key: str) -> None:
    go("b/demo-planned/packing")
    before = page.locator(".keys button", has_text="Went off")
    before.focus()
    now = call(page)
    if key in ("PageDown", "ArrowRight"):
        page.keyboard.press(key)
        assert call(page) == now
    page.locator(".board").focus()
    page.keyboard.press(key)
    assert call(page) != now
    later(page)
    page.locator(".stamps button", has_text="Undo").click()
    assert call(page) == now


OWN_KINDS = """() => new Promise((done) => {
  const open = indexedDB.open('kettleside');
  open.onsuccess = () => {
    const all = open.result.transaction('own').objectStore('own').getAll();
    all.onsuccess = () => done(all.result.map(({ line }) => JSON.parse(line).kind));
  };
})"""


def written(page: Page, kind: str) -> int:
    """How many events of this kind the phone has written."""
    kinds: list[str] = page.evaluate(OWN_KINDS)
    return kinds.count(kind)


@pytest.mark.parametrize(
    "place", ["", "/kettle", "/back", "/owed", "/handover", "/cautions", "/end"]
)
def test_burn_stands_on_every_address_of_an_open_boil(page: Page, go: Go, place: str) -> None:
    go(f"b/demo-handover{place}")
    assert page.locator(".rail .burn-key").is_visible()


def test_a_false_alarm_is_one_entry_even_when_the_page_is_turned_back(page: Page, go: Go) -> None:
    go("b/demo-handover/back")
    page.locator(".rail .burn-key").click()
    page.locator(".burn").wait_for()
    page.locator(".keys button", has_text="False alarm").click()
    page.locator(".station").wait_for()
    page.go_back()
    page.wait_for_timeout(200)
    assert written(page, "interrupted") == 1
    assert written(page, "carried_on") == 1


def test_undo_takes_back_at_once_and_the_entry_stays_struck_through(page: Page, go: Go) -> None:
    go("b/demo-planned/block")
    page.locator(".finish").tap()
    later(page)
    assert call(page) == "Hive"
    page.locator(".stamps button", has_text="Undo").click()
    assert call(page) == "Lay out"
    go("b/demo-planned/back")
    assert page.locator(".gone", has_text="Lay out: done").count() == 1


def test_a_reading_past_its_limit_is_refused_by_value_and_limit(page: Page, go: Go) -> None:
    go("b/demo-planned/packing")
    time.sleep(1.6)
    page.locator(".keys button", has_text="Write").click()
    panel = page.locator(".panel.reading")
    if panel.locator("h2").inner_text() != "Humidity at packing":
        pytest.fail(f"asked for {panel.locator('h2').inner_text()}")
    for figure in "149":
        panel.locator(".pad").get_by_text(figure, exact=True).click()
    panel.get_by_role("button", name="Write down").click()
    said = panel.locator("[role=alert]").inner_text()
    assert "149" in said
    assert "100" in said
    assert panel.is_visible()
    panel.get_by_role("button", name="Later").click()


def test_from_140_to_poured_nothing_but_poured_answers(page: Page, go: Go) -> None:
    go("b/demo-planned/kettle")
    for _ in range(20):
        if page.locator(".hot").count():
            break
        page.locator(".keys button", has_text="Pass").click()
        page.locator(".panel").get_by_text("No hands free").click()
        page.wait_for_timeout(60)
    hot = page.locator(".hot")
    assert "Eyes on the" in hot.inner_text()
    for key in ("PageDown", "Enter", "Space", "ArrowRight"):
        page.keyboard.press(key)
    assert hot.count() == 1
    assert violations(page) == []
    page.screenshot()
    time.sleep(1.6)
    hot.get_by_role("button", name="Poured").tap()
    assert hot.count() == 0
    panel = page.locator(".panel.reading")
    assert panel.locator("h2").inner_text() == "Peak"
    assert violations(page) == []
    panel.get_by_role("button", name="Later").click()


@pytest.mark.parametrize("name", ["Went off", "Pass"])
def test_a_panel_has_no_flaw_and_big_keys(page: Page, go: Go, name: str) -> None:
    go("b/demo-planned/roller")
    page.locator(".keys button", has_text=name).click()
    assert violations(page) == []
    assert min(page.evaluate(MEASURE)["keys"]) >= 64
    page.locator(".panel").get_by_role("button", name="Close").click()


def test_a_pedal_goes_on_past_a_reading_and_writes_none(page: Page, go: Go) -> None:
    go("b/demo-planned/packing")
    before = {kind: written(page, kind) for kind in ("reading_taken", "step_done", "tally_counted")}
    page.locator(".board").focus()
    # The first step asks for the room's humidity; the next one counts bags.
    for n in range(3):
        time.sleep(1.6)
        page.keyboard.press("Enter")
        page.wait_for_timeout(100)
        assert page.locator(".panel.reading").count() == (n == 0)
    assert written(page, "reading_taken") == before["reading_taken"]
    assert written(page, "step_done") == before["step_done"] + 1
    assert written(page, "tally_counted") == before["tally_counted"] + 2
