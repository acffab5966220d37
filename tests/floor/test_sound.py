"""What is said when, at the boundary where it leaves the page: by the phone's own voice, else by
the recordings; in the person's language; without a network; how honest 'Sound ready' is."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright

from tests.browsers import wait_true
from tests.floor.listening import (
    READY,
    VOICES,
    count_down,
    heard,
    light,
    listening,
    spoken,
)
from tests.programs import Program, beside, running

KETTLE = "demo-planned/kettle"
OWN_VOICE, DUMB_VOICE = VOICES.replace("TAKES", "true"), VOICES.replace("TAKES", "false")
MARK = "Eyes on the thermometer. Mark. 148. one, four, eight."
RECORDED = "window.heard.filter(({ kind }) => kind === 'recording').length"
HIDE = """(hidden) => {
  Object.defineProperty(document, 'hidden', { get: () => hidden, configurable: true });
  document.dispatchEvent(new Event('visibilitychange'));
}"""
GERMAN = """
from shop.models import Person
Person.objects.filter(key="maren").update(language="de", units="us")
answer = ""
"""


@pytest.fixture
def program(tmp_path: Path) -> Iterator[Program]:
    with running(tmp_path / "data", "demo") as started:
        yield started


def test_a_voice_of_the_phone_says_the_mark_every_twenty_seconds_until_poured(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with listening(playwright, program, tmp_path / "phone", KETTLE, OWN_VOICE, by_hand=True) as (
        _,
        page,
    ):
        light(program, "demo-planned")
        page.locator(".hot").wait_for(timeout=30_000)
        wait_true(page, "window.heard.length > 0")
        page.clock.run_for(19_000)
        assert [note["text"] for note in heard(page, "voice")] == [MARK]
        page.clock.run_for(3_000)
        said = heard(page, "voice")
        assert [note["text"] for note in said] == [MARK, MARK]
        # Only a voice that needs no network, of the right language.
        assert {(note["voice"], note["lang"]) for note in said} == {("own English", "en-GB")}
        assert heard(page, "recording") == []
        # Ten minutes on, somebody has poured and not pressed: it asks, and still says the mark.
        page.clock.fast_forward(600_000)
        page.clock.run_for(2_000)
        assert heard(page, "voice")[-1]["text"] == f"Poured? {MARK}"
        page.locator(".hot").get_by_role("button", name="Poured").tap()
        page.clock.run_for(60_000)
        told = [note["text"] for note in heard(page, "voice")]
        assert told[-1] == f"Poured? {MARK}"


def test_a_voice_that_does_not_begin_leaves_it_to_the_recordings(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with listening(playwright, program, tmp_path / "phone", KETTLE, DUMB_VOICE) as (_, page):
        light(program, "demo-planned")
        wait_true(page, f"{RECORDED} === 8", 40)
        assert [note["text"] for note in heard(page, "voice")] == [MARK]
        assert spoken(page) == ["eyes", "mark", "h1", "n40", "n8", "n1", "n4", "n8"]


def restart_cut_off(page: Page) -> None:
    """Started again without the network, in the middle of the scene; touched by a sleeve."""
    page.context.set_offline(True)
    page.reload()
    page.locator(".hot").wait_for()
    page.touchscreen.tap(200, 300)


def test_recordings_come_one_after_the_other_and_need_no_network(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with listening(playwright, program, tmp_path / "phone", KETTLE) as (_, page):
        light(program, "demo-planned")
        page.locator(".hot").wait_for(timeout=30_000)
        restart_cut_off(page)
        wait_true(page, f"{RECORDED} === 8", 40)
        notes = heard(page, "recording")
        ends = [note["when"] + note["long"] for note in notes]
        waits = [n["when"] - end for n, end in zip(notes[1:], ends, strict=False)]
        assert min(waits) > -1e-6
        assert max(waits) < 0.3
        assert {note["name"].split("/")[0] for note in notes} == {"en"}


LOSE = """async (name) => {
  const lost = [];
  for (const kept of await caches.keys()) {
    const cache = await caches.open(kept);
    for (const request of await cache.keys())
      if (request.url.endsWith(name)) lost.push(await cache.delete(request));
  }
  return lost;
}"""


def test_half_a_number_is_worse_than_none(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with listening(playwright, program, tmp_path / "phone", KETTLE) as (_, page):
        light(program, "demo-planned")
        page.locator(".hot").wait_for(timeout=30_000)
        assert page.evaluate(LOSE, "/voice/en/n40.mp3") == [True]
        restart_cut_off(page)
        wait_true(page, READY)
        page.wait_for_timeout(4000)
        assert heard(page, "recording") == []


def test_it_speaks_the_language_and_degrees_of_whoever_presses(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    beside(program.data, GERMAN)
    with listening(playwright, program, tmp_path / "phone", KETTLE) as (_, page):
        wait_true(page, "document.documentElement.lang === 'de'", 30)
        light(program, "demo-planned")
        wait_true(page, f"{RECORDED} === 8", 40)
        # 148 °C, as the mark says it: 298 °F.
        assert spoken(page) == ["eyes", "mark", "h2", "u8", "n90", "d2", "n9", "n8"]
        assert {note["name"].split("/")[0] for note in heard(page, "recording")} == {"de"}


def test_a_countdown_that_begins_here_says_how_long_it_is(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with listening(playwright, program, tmp_path / "phone", KETTLE) as (_, page):
        count_down(program, "demo-planned", 120, "lid")
        wait_true(page, f"{RECORDED} === 3", 30)
        assert spoken(page) == ["lid", "n2", "minutes"]


def test_sound_is_not_called_ready_when_it_is_not(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    bar = "[...document.querySelectorAll('.slim-bar')].map((b) => b.textContent).join()"
    with listening(playwright, program, tmp_path / "phone", KETTLE) as (_, page):
        assert page.evaluate(bar) == ""
        page.evaluate("window.devices[0].suspend()")
        wait_true(page, f"{bar} === 'Sound not ready: touch the screen once'")
        page.locator(".board").tap(position={"x": 5, "y": 5})
        wait_true(page, f"{bar} === '' && {READY}")
        # Away and back: not ready before the sound device runs again.
        page.evaluate(HIDE, True)
        assert page.evaluate("document.body.dataset.sound") == "off"
        page.evaluate("window.devices[0].suspend()")
        page.evaluate(HIDE, False)
        assert page.evaluate("document.body.dataset.sound") == "off"
        wait_true(page, READY)
        assert page.evaluate("window.devices.length") == 1


STILL_CLOCK = """(() => {
  Object.defineProperty(BaseAudioContext.prototype, 'currentTime', { get: () => 1 });
})()"""


def test_a_sound_device_whose_clock_stands_still_is_not_ready(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with listening(playwright, program, tmp_path / "phone", KETTLE) as (_, page):
        page.evaluate(STILL_CLOCK)
        wait_true(page, "document.body.dataset.sound === 'off'")
        assert page.evaluate("window.devices[0].state") == "running"


def test_the_test_rings_speaks_and_asks_whether_it_was_heard(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with listening(playwright, program, tmp_path / "phone", KETTLE) as (_, page):
        page.goto(page.url.split("#")[0] + "#/phone")
        row = page.locator(".row", has_text="Sound ready")
        row.tap()
        page.locator(".panel", has_text="Did you hear it?").wait_for()
        assert len(heard(page, "tone")) == 3
        assert len(heard(page, "shake")) == 1
        wait_true(page, f"{RECORDED} === 1")
        assert spoken(page) == ["heard"]
        page.locator(".panel").get_by_role("button", name="No", exact=True).tap()
        page.locator(".panel", has_text="Louder by the phone’s keys.").wait_for()
        page.wait_for_timeout(500)
        page.locator(".panel").get_by_role("button", name="Once more").tap()
        page.locator(".panel", has_text="Did you hear it?").wait_for()
        page.wait_for_timeout(500)
        page.locator(".panel").get_by_role("button", name="Yes").tap()
        page.locator(".row", has_text="Sound readyHeard ").wait_for()


def test_the_screen_is_held_again_after_it_was_out_of_sight(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with listening(playwright, program, tmp_path / "phone", KETTLE, LOCKS) as (_, page):
        wait_true(page, "window.locks.length === 1")
        page.evaluate(HIDE, True)
        page.evaluate("window.locks[0].drop()")
        assert page.evaluate("window.locks.length") == 1
        page.evaluate(HIDE, False)
        wait_true(page, "window.locks.length === 2")
        page.evaluate("window.refuses = true; window.locks[1].drop()")
        page.evaluate(HIDE, False)
        page.locator(".slim-bar", has_text="The screen may go dark").wait_for()
        page.goto(page.url.split("#")[0] + "#/phone")
        page.locator(".row", has_text="The browser refused: battery saving.").wait_for()


LOCKS = """(() => {
  const locks = window.locks = [];
  class Lock extends EventTarget {
    released = false;
    drop() { this.released = true; this.dispatchEvent(new Event('release')); }
  }
  Object.defineProperty(navigator, 'wakeLock', { get: () => ({ request: async () => {
    if (window.refuses) throw new Error('battery saving');
    locks.push(new Lock());
    return locks.at(-1);
  } }) });
})()"""
