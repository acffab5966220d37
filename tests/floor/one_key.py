"""A person with one key: looks where the frame stands, waits, presses. Nothing else is sent."""

from __future__ import annotations

import re

from playwright.sync_api import Page

PACE_MS = 2000
# A little more than the dead time of a press, and less than the frame stays on a key.
AFTER_MS = 1600
FRAMED = """() => {
  const name = (e) => (e.getAttribute('aria-label') ?? e.innerText).replace(/\\s+/g, ' ').trim();
  return [...document.querySelectorAll('[data-scan]')].map(name);
}"""
MOST_STEPS = 60


class OneKey:
    """One key of a switch or pedal, and what its person sees; the page's clock goes by hand."""

    def __init__(self, page: Page, key: str = "PageDown") -> None:
        self.page, self.key, self.pace = page, key, PACE_MS
        self.presses = self.steps = self.longest = 0

    def wait(self, milliseconds: int) -> None:
        self.page.clock.run_for(milliseconds)

    def framed(self) -> list[str]:
        """Names of the keys inside the frame."""
        found: list[str] = self.page.evaluate(FRAMED)
        return found

    def press(self) -> None:
        """One press, and what a hand needs until the next."""
        self.page.keyboard.press(self.key)
        self.presses += 1
        self.wait(AFTER_MS)

    def choose(self, name: str) -> None:
        """Presses when the frame holds this key; where it holds others too, once more inside."""
        for _ in range(4):
            steps = 0
            while not (mine := [each for each in self.framed() if matches(each, name)]):
                steps += 1
                assert steps < MOST_STEPS, f"{name}: the frame never came; it is at {self.framed()}"
                self.wait(self.pace)
            self.steps += steps
            self.longest = max(self.longest, steps + 1)
            alone = len(self.framed()) == 1
            self.press()
            if alone:
                return
        raise AssertionError(f"{name} is still among {mine}")

    def type(self, figures: str) -> None:
        for figure in figures:
            self.choose(re.escape(figure))


def matches(name: str, wanted: str) -> bool:
    """A pattern of the whole name."""
    return re.fullmatch(wanted, name) is not None
