"""Presses as they land on the page, counted by the page: by finger, mouse, key or pedal."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import BrowserContext, Page

LISTEN = """(() => {
  const pressed = 'button, a, summary, label, input, select, textarea, .board';
  const typed = 'input:not([type=checkbox]):not([type=radio]), textarea';
  const told = (kind, size) => window.pressed?.(kind, size);
  addEventListener('pointerdown', ({ target }) => {
    const key = target.closest?.(pressed);
    if (!key) return;
    const { width, height } = key.getBoundingClientRect();
    const figure = key.closest('.pad, .stepper') && !key.matches('.value');
    told(figure ? 'figure' : 'press', Math.round(Math.min(width, height)));
  }, true);
  addEventListener('keydown', ({ key, target }) => {
    if (target.matches?.(typed) && key.length === 1) told('character', 0);
    else if (!['Shift', 'Tab'].includes(key)) told('press', 0);
  }, true);
})()"""


class Hand:
    """What was pressed since `clear()`."""

    def __init__(self, context: BrowserContext) -> None:
        self.clear()
        context.expose_binding("pressed", self._pressed)
        context.add_init_script(LISTEN)

    def clear(self) -> None:
        self.presses = self.figures = self.characters = 0
        self.sizes: list[int] = []

    def _pressed(self, _source: Any, kind: str, size: int) -> None:
        if kind == "press":
            self.presses += 1
        elif kind == "figure":
            self.figures += 1
        else:
            self.characters += 1
        if size:
            self.sizes.append(size)

    def choose(self, page: Page, field: str, value: str) -> None:
        """One of a list: a press to open it and one to choose, which no page is told of."""
        page.select_option(field, value)
        self.presses += 2

    def smallest(self) -> str:
        """The shorter side of the smallest thing pressed."""
        return f"{min(self.sizes)} px"


def words_of(text: str) -> int:
    """Words and numbers to read; a sign alone is none."""
    return sum(any(letter.isalnum() for letter in word) for word in text.split())
