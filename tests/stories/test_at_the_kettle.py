"""From set-up to poured on one phone without the network: stories 3, 17, 1, 23, 2, 4, 22 and 18."""

from __future__ import annotations

import re
import time
from contextlib import suppress

from playwright.sync_api import Error

from shop.demo.scenario import demo_sheet
from tests.browsers import wait_true
from tests.floor.test_screens import violations
from tests.phone.dying import kill
from tests.play.crew import DEAD_S
from tests.stories.board import READABLE, key, made, type_px
from tests.stories.conftest import Phone, Walk
from tests.stories.hand import words_of
from tests.stories.sight import contrast_at_a_sixth, heights, minutes

SHEET = demo_sheet("demo-planned")
CALLS = {SHEET["steps"][item]["call"]: item for item in SHEET["stop_items"]}
BOILING = {"Boiling water": ("99.1", "°C")}
CLOCK = "/[0-9]:[0-9]/.test(document.querySelector('.station .clock')?.textContent)"


def seconds_left(crew: Phone) -> int:
    wait_true(crew.page, CLOCK)
    found = re.search(r"(\d+):(\d\d)", crew.page.locator(".station .clock").inner_text())
    assert found
    return int(found[1]) * 60 + int(found[2])


def test_the_mark_of_today_stands_where_the_reading_was_typed(crew: Phone, walk: Walk) -> None:
    """By hand: 149.0 less what the boiling water reads too low, 100.0 − 99.1 (the extension rule:
    Utah State University, thermometers and altitude, from memory)."""
    crew.go("setup")
    crew.pass_until("Test thermometer")
    crew.hand.clear()
    key(crew, "Write")
    with walk.machine():
        crew.type("99.1", "°C")
        crew.page.get_by_text("Take-off mark 148.1").wait_for()
    walk.saw("presses to write it down", crew.hand.presses + crew.hand.figures)
    walk.saw("smallest thing pressed", crew.hand.smallest())
    crew.hand.clear()
    walk.pressed(crew.hand)
    walk.saw("take-off mark", f"{149.0 - (100.0 - 99.1):.1f} °C")
    crew.hand.clear()
    crew.page.goto(f"{crew.base}/floor/#/phone")
    crew.page.locator(".row", has_text="Degrees in °C").click()
    crew.go("setup")
    crew.page.get_by_text(f"Take-off mark {148.1 * 1.8 + 32:.1f}").wait_for()
    walk.saw("in °F", "298.6 °F")
    walk.saw("presses to change the degrees", crew.hand.presses)
    crew.page.goto(f"{crew.base}/floor/#/phone")
    crew.page.locator(".row", has_text="Degrees in °F").click()


def test_nothing_is_lit_unnoticed_while_a_stop_item_is_open(crew: Phone, walk: Walk) -> None:
    crew.go("kettle")
    crew.pass_until("Light")
    with walk.machine():
        crew.page.locator(".station .finish").tap()
        panel = crew.page.locator(".panel")
        panel.get_by_text("11 stop items are open").wait_for()
    assert all(call in panel.inner_text() for call in CALLS)
    walk.saw("stop items", len(CALLS))
    key(crew, "Close")
    crew.go("setup")
    crew.hand.clear()
    tick_all(crew)
    walk.pressed(crew.hand)
    crew.go("kettle")
    crew.finish()
    assert crew.call == "Add syrup"
    assert crew.page.locator(".keys").get_by_text("Went off").inner_text() == "Went off"


def tick_all(crew: Phone) -> None:
    """Every stop item done; what stands between is passed and not counted."""
    counted = [0, 0]
    for call, item in CALLS.items():
        crew.pass_until(call)
        crew.hand.clear()
        crew.finish(BOILING if "boiling" in item else {})
        crew.page.evaluate("0")
        counted = [counted[0] + crew.hand.presses, counted[1] + crew.hand.figures]
    crew.hand.presses, crew.hand.figures = counted


def lid_on(crew: Phone) -> None:
    """The kettle waits for its walls to be washed, and the lid's clock runs."""
    crew.go("kettle")
    if "cook.light" not in {event.get("step") for event in made(crew, "step_done")}:
        crew.pass_until("Light")
        crew.finish()
        key(crew, "Lit now, with these open")
    if crew.call != "Wash walls":
        crew.pass_until("Lid on")
        crew.finish()
    seconds_left(crew)


def test_the_next_action_and_its_clock_are_read_from_two_metres(crew: Phone, walk: Walk) -> None:
    lid_on(crew)
    crew.hand.clear()
    walk.pressed(crew.hand)
    call, clock = (crew.page.locator(f".station {part}") for part in (".call", ".clock"))
    walk.saw("words read", words_of(crew.call) + words_of(clock.inner_text()))
    for name, part, what in (("call", ".call", call), ("clock", ".clock", clock)):
        tall, low = heights(what)
        walk.saw(name, f"{type_px(crew, f'.station {part}')} px")
        walk.saw(f"{name} at 2 m", f"{minutes(tall)}′, {minutes(low)}′ its x-height")
        assert contrast_at_a_sixth(what) >= READABLE


def test_after_a_killed_browser_the_same_step_stands_with_the_right_clock(
    crew: Phone, walk: Walk
) -> None:
    lid_on(crew)
    before, gone = seconds_left(crew), time.monotonic()
    kill(crew.folder)
    with suppress(Error):
        crew.context.close()
    crew.start()
    with walk.machine():
        crew.page.goto(f"{crew.base}/floor/")
        crew.page.locator(".station .call", has_text="Wash").wait_for()
        after = seconds_left(crew)
    off = abs(before - (time.monotonic() - gone) - after)
    walk.pressed(crew.hand)
    walk.saw("same step", crew.call)
    walk.saw("clock off by", "2 s at most" if off <= 2 else f"{off:.0f} s")
    walk.saw("presses to come back", crew.hand.presses)


def test_a_temperature_is_written_down_by_plus_from_the_mark(crew: Phone, walk: Walk) -> None:
    crew.go("kettle")
    crew.pass_until("Poured")
    time.sleep(DEAD_S)
    crew.page.locator(".hot").get_by_role("button", name="Poured").tap()
    crew.last_press = time.monotonic()
    panel = crew.page.locator(".panel.reading")
    crew.hand.clear()
    for _ in range(4):
        panel.get_by_role("button", name="more", exact=True).click()
    with walk.machine():
        key(crew, "Write down")
        panel.wait_for(state="hidden")
        wait_true(crew.page, "document.querySelector('.stage').textContent.includes('kept')")
    walk.pressed(crew.hand)
    walk.saw("smallest thing pressed", crew.hand.smallest())
    body = made(crew, "reading_taken")[-1]["body"]
    assert (body["what"], body["unit"], body["instrument"]) == (
        "peak",
        "degC",
        "kettle-thermometer",
    )
    walk.saw("kept as read", f"{body['n'] / body['d']:.1f} °C")


def test_an_overshot_cook_is_shown_with_all_it_changes(crew: Phone, walk: Walk) -> None:
    crew.go("kettle")
    if not any(event["body"]["what"] == "peak" for event in made(crew, "reading_taken")):
        crew.pass_until("Poured")
        crew.pour({"Peak": ("152.0", "°C")})
    crew.hand.clear()
    with walk.machine():
        key(crew, "Went off")
        crew.page.locator(".panel .lines li").first.wait_for()
    walk.pressed(crew.hand)
    assert crew.page.locator(".panel h2").inner_text() == "Cook off the mark"
    assert violations(crew.page) == []
    said = crew.page.locator(".panel .lines li").all_inner_texts()
    told = " ".join(said)
    for words in ("Cooked mass", "Working band higher by", "Sticks shorter by", "Log closed by"):
        assert words in told, words
    walk.saw("figures changed", len(said))
    walk.saw("of them parts to weigh", sum("to weigh" in line or "rest" in line for line in said))
    walk.saw("ways on", crew.page.locator(".panel .choices button").count())
    key(crew, "Go by the new figures")
    assert made(crew, "mended")[-1]["body"]["text"] == "Go by the new figures"


def test_a_step_is_passed_with_its_reason_and_nothing_is_lost(crew: Phone, walk: Walk) -> None:
    crew.go("table")
    crew.pass_until("Acid in")
    before = len(crew.events())
    crew.hand.clear()
    with walk.machine():
        key(crew, "Pass")
        key(crew, "No hands free")
        crew.page.locator(".station .call", has_text="Flavour").wait_for()
    walk.pressed(crew.hand)
    walk.saw("smallest thing pressed", crew.hand.smallest())
    [last] = crew.events()[before:]
    assert (last["kind"], last["step"]) == ("step_passed", "colour.acid")
    walk.saw("reason kept", last["body"]["reason"])
    crew.go("owed")
    walk.saw("owed", crew.page.locator(".row", has_text="Acid").count())
    crew.go("back")
    crew.hand.clear()
    crew.page.locator(".row", has_text="Acid in: passed").first.click()
    key(crew, "Strike through")
    crew.page.evaluate("0")
    walk.saw("presses to bring it back", crew.hand.presses)
    crew.go("table")
    assert crew.call == "Acid in"


def test_one_slap_opens_the_drill_and_a_second_starts_the_water_clock(
    crew: Phone, walk: Walk
) -> None:
    crew.go("table")
    crew.hand.clear()
    with walk.machine():
        crew.page.locator(".rail .burn-key").tap()
        crew.page.locator(".burn li").first.wait_for()
    walk.pressed(crew.hand)
    walk.saw("smallest thing pressed", crew.hand.smallest())
    walk.saw("lines of the drill", crew.page.locator(".burn li").count())
    time.sleep(DEAD_S)
    crew.page.locator(".burn .finish").tap()
    wait_true(crew.page, "document.querySelector('.burn-clock')?.textContent.startsWith('19:5')")
    walk.saw("presses until the clock runs", crew.hand.presses)
    walk.saw("clock", "20 min")
    assert made(crew, "interrupted")[-1]["body"] == {"cause": "burn"}
    key(crew, "False alarm")
