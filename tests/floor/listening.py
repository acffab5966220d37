"""What leaves a phone for ears and hands, noted at the browser's own boundary: every recording and
tone that is started, every utterance handed to the phone's voice, every shake."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.programs import Program, beside

# `window.heard`: [{kind: recording|tone|voice|shake, at [ms], …}]; `devices`: those of sound.
LISTEN = """(() => {
  const heard = window.heard = [], devices = window.devices = [], names = new WeakMap();
  const note = (kind, more) => heard.push({ kind, at: Math.round(performance.now()), ...more });
  const { arrayBuffer } = Response.prototype, { decodeAudioData } = BaseAudioContext.prototype;
  Response.prototype.arrayBuffer = async function () {
    const bytes = await arrayBuffer.call(this);
    names.set(bytes, this.url.split('/voice/')[1]);
    return bytes;
  };
  BaseAudioContext.prototype.decodeAudioData = async function (bytes) {
    const name = names.get(bytes), found = await decodeAudioData.call(this, bytes);
    names.set(found, name);
    return found;
  };
  window.AudioContext = class extends AudioContext {
    constructor(...given) { super(...given); devices.push(this); }
  };
  const begin = AudioBufferSourceNode.prototype.start, tone = OscillatorNode.prototype.start;
  AudioBufferSourceNode.prototype.start = function (when, from, long) {
    note('recording', { name: names.get(this.buffer), when, long });
    return begin.call(this, when, from, long);
  };
  OscillatorNode.prototype.start = function (when) {
    note('tone', { hertz: this.frequency.value, when });
    return tone.call(this, when);
  };
  navigator.vibrate = (pattern) => { note('shake', { pattern }); return true; };
})();"""

# A phone that has voices of its own; `TAKES` decides whether it also speaks.
VOICES = """(() => {
  const voices = [
    { lang: 'en-US', localService: false, name: 'by the network' },
    { lang: 'en-GB', localService: true, name: 'own English' },
    { lang: 'de_DE', localService: true, name: 'own German' },
  ];
  window.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
  const synthesis = {
    getVoices: () => voices, cancel: () => {},
    speak(words) {
      window.heard.push({ kind: 'voice', at: Math.round(performance.now()), text: words.text,
        lang: words.lang, voice: words.voice.name });
      if (!TAKES) return;
      setTimeout(() => { words.onstart(); setTimeout(() => words.onend(), 50); }, 20);
    },
  };
  Object.defineProperty(window, 'speechSynthesis', { get: () => synthesis });
})();"""

# The boil lit, and at 140 °C; done at the office, for the set-up is another test's.
LIGHT = """
from shop.store import access, append
for step in ("cook.light", "cook.at-140"):
    append.office_event(shop_id=access.only_shop().id, batch="{}", kind="step_done",
                        body={{}}, by="maren", station="kettle", step=step)
answer = "lit"
"""
COUNTDOWN = """
import time
from shop.store import access, append
deadline = int(time.time() * 1000) + {}
append.office_event(shop_id=access.only_shop().id, batch="{}", kind="countdown_started",
    by="maren", station="kettle", body={{"id": "{}", "label": "Lid", "deadline": deadline}})
answer = deadline
"""
READY = "document.body.dataset.sound === 'ready'"


@contextmanager
def listening(
    playwright: Playwright,
    program: Program,
    profile: Path,
    place: str,
    *more: str,
    who: str = "Maren",
    by_hand: bool = False,
) -> Iterator[tuple[BrowserContext, Page]]:
    """A phone at this place, the rest of its app here, its sound ready; `by_hand`: its clock."""
    with phone(playwright, profile) as context:
        for script in (LISTEN, *more):
            context.add_init_script(script)
        page = context.pages[0]
        if by_hand:
            page.clock.install()
        base = f"http://localhost:{program.port}/floor/"
        page.goto(f"{base}#add={add_phone(program.data)['code']}")
        page.locator(".row", has_text=who).click(timeout=30_000)
        page.goto(f"{base}#/b/{place}")
        # Started anew it fetches the rest at once, not ten seconds later.
        page.reload()
        page.locator(".station").tap(position={"x": 5, "y": 5})
        wait_true(page, READY, 40)
        yield context, page


def heard(page: Page, kind: str) -> list[dict[str, Any]]:
    """What was noted of one kind, in its order."""
    found: list[dict[str, Any]] = page.evaluate("window.heard")
    return [note for note in found if note["kind"] == kind]


def spoken(page: Page) -> list[str]:
    """Names of the recordings that were started, without folder and ending."""
    return [note["name"].split("/")[1].removesuffix(".mp3") for note in heard(page, "recording")]


def light(program: Program, batch: str) -> None:
    assert beside(program.data, LIGHT.format(batch)) == "lit"


def count_down(program: Program, batch: str, seconds: float, name: str = "lid") -> int:
    """A countdown by the shop's own clock; its deadline [ms]. Negative: over already."""
    deadline: int = beside(program.data, COUNTDOWN.format(round(seconds * 1000), batch, name))
    return deadline
