"""The ring as it leaves the phone, measured; the flash, counted; both at each station."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Page, Playwright

from tests.browsers import wait_true
from tests.floor.listening import count_down, heard, light, listening, spoken
from tests.play.crew import OWN_LINES
from tests.programs import Program, beside, running
from tests.record.conftest import page as bare_page

bare = bare_page
RATE = 16_000
RING = """async () => {
  const { ringOn, RING_S } = await import('/js/screens/sound.js');
  const audio = new OfflineAudioContext(1, 16000 * RING_S, 16000);
  ringOn(audio, 0, 1);
  return [...(await audio.startRendering()).getChannelData(0)];
}"""
# Danger signals, ISO 7731 (from memory): tones between 500 and 2500 Hz, enough strength below
# 1500 Hz for ears that are old or covered, pulses between 0.2 and 5 a second.
TONES_HZ, LOW_HZ, PULSES_HZ = (500, 2500), 1500, (0.2, 5)
# WCAG 2.3.1: no more than three flashes in any one second.
MOST_FLASHES = 3
# Every animation on the page, stepped through two seconds by its own clock: how often what it
# paints changes, and changes back.
FLASHES = """() => { const PAINTED = ['borderTopColor', 'backgroundColor', 'opacity', 'color'];
return document.getAnimations().map((animation) => {
  const { target, pseudoElement } = animation.effect, seen = [];
  animation.pause();
  for (let at = 0; at < 2000; at += 10) {
    animation.currentTime = at;
    const look = getComputedStyle(target, pseudoElement);
    const now = PAINTED.map((name) => look[name]).join();
    if (seen.at(-1) !== now) seen.push(now);
  }
  animation.play();
  return (seen.length - 1) / 2 / 2;
}); }"""
KETTLE = "demo-planned/kettle"
# Everything at the roller up to the cut, done at the office.
TO_THE_BLADE = """
from shop.store import access, append
from shop.demo.scenario import demo_sheet
sheet = demo_sheet("demo-planned")
steps = next(s["steps"] for s in sheet["stations"] if s["id"] == "roller")
before = steps[:next(i for i, s in enumerate(steps) if sheet["steps"][s]["heading"] == "cut")]
for step in before:
    append.office_event(shop_id=access.only_shop().id, batch="demo-planned", kind="step_passed",
                        body={"reason": "shown"}, by="maren", station="roller", step=step)
answer = len(before)
"""
BURN = """
from shop.store import access, append
append.office_event(shop_id=access.only_shop().id, batch="demo-planned", kind="interrupted",
                    body={"cause": "burn"}, by="maren", station="table")
answer = ""
"""


def test_the_ring_lies_where_a_roller_and_an_old_ear_let_it_through(bare: Page) -> None:
    dots = np.array(bare.evaluate(RING))
    power = np.abs(np.fft.rfft(dots)) ** 2
    hertz = np.fft.rfftfreq(len(dots), 1 / RATE)
    assert TONES_HZ[0] < hertz[power.argmax()] < LOW_HZ
    assert power[hertz < LOW_HZ].sum() > 0.6 * power.sum()
    assert power[hertz < TONES_HZ[0]].sum() < 0.1 * power.sum()


def test_the_ring_pulses_and_begins_without_a_crack(bare: Page) -> None:
    dots = np.abs(np.array(bare.evaluate(RING)))
    loud = [chunk.max() > 0.1 for chunk in np.array_split(dots, len(dots) // (RATE // 100))]
    pulses = sum(now and not before for before, now in zip([False, *loud], loud, strict=False))
    assert PULSES_HZ[0] < pulses / (len(dots) / RATE) < PULSES_HZ[1]
    # From nothing to full strength in a hundredth of a second, never in one step.
    assert dots[: RATE // 1000].max() < 0.2
    assert dots.max() <= 1.05


@pytest.fixture
def kettle(playwright: Playwright, program: Program, tmp_path: Path) -> Iterator[Page]:
    with listening(playwright, program, tmp_path / "phone", KETTLE) as (_, page):
        yield page


@pytest.fixture
def program(tmp_path: Path) -> Iterator[Program]:
    with running(tmp_path / "data", "demo") as started:
        yield started


def entries(page: Page) -> int:
    """How many entries this phone has made."""
    made: int = page.evaluate(
        """() => new Promise((done) => {
          indexedDB.open('kettleside').onsuccess = ({ target: { result } }) => {
            const all = result.transaction('own').objectStore('own').count();
            all.onsuccess = () => { result.close(); done(all.result); };
          };
        })"""
    )
    return made


def flashes(page: Page) -> list[float]:
    found: list[float] = page.evaluate(FLASHES)
    return found


def test_a_countdown_rings_shakes_flashes_and_is_said_until_it_is_answered(
    kettle: Page, program: Program
) -> None:
    count_down(program, "demo-planned", -5)
    kettle.locator(".ring-bar", has_text="Lid over by").wait_for(timeout=30_000)
    wait_true(kettle, "window.heard.some(({ kind }) => kind === 'recording')")
    assert {note["hertz"] for note in heard(kettle, "tone")} == {740, 988}
    assert len(heard(kettle, "shake")) >= 1
    wait_true(kettle, "window.heard.filter(({ kind }) => kind === 'recording').length === 2")
    assert spoken(kettle) == ["lid", "time"]
    assert [0 < found <= MOST_FLASHES for found in flashes(kettle)] == [True]
    kettle.locator(".ring-bar").get_by_role("button", name="Answer").tap()
    wait_true(kettle, "!('calls' in document.body.dataset)")
    told = len(heard(kettle, "tone"))
    kettle.wait_for_timeout(3000)
    assert len(heard(kettle, "tone")) == told
    assert flashes(kettle) == []


def test_less_motion_is_a_frame_that_stands(kettle: Page, program: Program) -> None:
    kettle.emulate_media(reduced_motion="reduce")
    count_down(program, "demo-planned", -5)
    wait_true(kettle, "'calls' in document.body.dataset", 30)
    assert flashes(kettle) == []
    frame = "getComputedStyle(document.body, '::after').borderTopWidth"
    assert kettle.evaluate(frame) == "8px"
    light(program, "demo-planned")
    kettle.locator(".hot").wait_for(timeout=30_000)
    assert flashes(kettle) == []


def test_from_140_to_poured_it_speaks_and_flashes_and_nothing_but_poured_records(
    kettle: Page, program: Program
) -> None:
    kettle.locator(".keys").get_by_text("Went off").click()
    light(program, "demo-planned")
    kettle.locator(".hot").wait_for(timeout=30_000)
    # What somebody had open asks for an answer: it goes.
    assert kettle.locator(".panel").count() == 0
    count_down(program, "demo-planned", -5, "skin")
    kettle.locator(".ring-bar").wait_for(timeout=30_000)
    made = entries(kettle)
    for key in ("PageDown", "ArrowRight", "Space", "Enter", "a", "1", "AudioVolumeUp", "Escape"):
        kettle.keyboard.press(key)
        kettle.wait_for_timeout(120)
    every_tap(kettle)
    assert kettle.locator(".hot").count() == 1
    assert entries(kettle) == made
    assert heard(kettle, "tone") == []
    assert spoken(kettle) == ["eyes", "mark", "h1", "n40", "n8", "n1", "n4", "n8"]
    assert all(0 < found <= MOST_FLASHES for found in flashes(kettle))
    kettle.locator(".hot .ago").get_by_role("button", name="2 min ago").tap()
    assert entries(kettle) == made
    kettle.wait_for_timeout(500)
    kettle.locator(".hot").get_by_role("button", name="Poured").tap()
    wait_true(kettle, "!document.querySelector('.hot')")
    kettle.wait_for_timeout(500)
    poured = last_entry(kettle)
    assert (poured["kind"], poured["step"], poured["known"]) == ("step_done", "cook.poured", "said")
    assert poured["recorded"] - poured["happened"] == 120_000


# A browser takes a touch beside a key for one on it: those two keep their distance.
KEYS = ".hot [data-at=poured], .hot .ago button, .burn-key"
NEAR = """([x, y, keys]) => [...document.querySelectorAll(keys)].some((key) => {
  const { left, right, top, bottom } = key.getBoundingClientRect();
  return x > left - 40 && x < right + 40 && y > top - 40 && y < bottom + 40;
})"""


def every_tap(page: Page) -> None:
    """A grid of touches over all of the screen but 'Poured' and Burn."""
    for x in range(15, 390, 60):
        for y in range(10, 840, 60):
            if not page.evaluate(NEAR, [x, y, KEYS]):
                page.touchscreen.tap(x, y)


def last_entry(page: Page) -> dict[str, Any]:
    found: dict[str, Any] = max(
        (json.loads(line) for line in page.evaluate(OWN_LINES)), key=lambda event: event["seq"]
    )
    return found


def test_at_the_blade_it_is_silent_and_still_while_the_others_ring(
    playwright: Playwright, kettle: Page, program: Program, tmp_path: Path
) -> None:
    assert beside(program.data, TO_THE_BLADE) > 0
    with listening(playwright, program, tmp_path / "blade", "demo-planned/roller") as (_, blade):
        wait_true(blade, "document.body.classList.contains('at-blade')", 30)
        count_down(program, "demo-planned", -5)
        beside(program.data, BURN)
        for page in (blade, kettle):
            page.locator(".ring-bar", has_text="Lid").wait_for(timeout=30_000)
            page.locator(".alarm-bar", has_text="Burn").wait_for(timeout=30_000)
        wait_true(kettle, "window.heard.filter(({ kind }) => kind === 'recording').length >= 3", 30)
        assert set(spoken(kettle)) == {"burn", "lid", "time"}
        assert blade.evaluate("window.heard") == []
        assert flashes(blade) == []
        assert flashes(kettle) != []


def test_poured_can_be_walked_to_and_pressed_by_keys_alone(kettle: Page, program: Program) -> None:
    light(program, "demo-planned")
    kettle.locator(".hot").wait_for(timeout=30_000)
    poured = kettle.locator(".hot").get_by_role("button", name="Poured")
    # A pedal that happens on it, with the focus there, is no press; a walk by Tab is one.
    poured.focus()
    kettle.keyboard.press("Enter")
    kettle.keyboard.press("Space")
    assert kettle.locator(".hot").count() == 1
    for _ in range(20):
        kettle.keyboard.press("Tab")
        if kettle.evaluate("Boolean(document.activeElement.closest('[data-at=poured]'))"):
            break
    kettle.keyboard.press("Enter")
    wait_true(kettle, "!document.querySelector('.hot')")
