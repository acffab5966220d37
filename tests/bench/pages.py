"""Presses and starts, measured in the page the same way for the product and for its floor."""

import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, Playwright

from tests.browsers import phone, slow_down, wait_true

SLOWER = 6

# Painted: the second animation frame after pointerup. Kept: the page's own mark after its
# strict write completed. Both are counted from the event's own time stamp.
WATCH = """() => {
  window.presses = [];
  addEventListener('pointerup', (event) => {
    const press = { at: event.timeStamp };
    window.presses.push(press);
    requestAnimationFrame(() => requestAnimationFrame(() => { press.painted = performance.now() - press.at; }));
  }, { capture: true });
  new PerformanceObserver((list) => {
    for (const mark of list.getEntriesByName('kept')) {
      const press = window.presses.find((p) => p.kept === undefined && p.at <= mark.startTime);
      if (press) press.kept = mark.startTime - press.at;
    }
  }).observe({ type: 'mark' });
}"""  # noqa: E501  # one line of JavaScript reads better whole

FIRST_PAINT = """() => new Promise((done) => new PerformanceObserver((list) => {
  const entry = list.getEntriesByName('first-contentful-paint')[0];
  if (entry) done(entry.startTime);
}).observe({ type: 'paint', buffered: true }))"""


@dataclass
class Presses:
    """Milliseconds from finger up to painted and to kept."""

    painted: list[float] = field(default_factory=list)
    kept: list[float] = field(default_factory=list)


@contextmanager
def fresh_phone(playwright: Playwright) -> Iterator[BrowserContext]:
    """A phone whose profile goes away afterwards."""
    with tempfile.TemporaryDirectory() as folder, phone(playwright, Path(folder)) as context:
        yield context


def measure_presses(
    context: BrowserContext, page: Page, press: Callable[[], None], times: int, pause_ms: int
) -> Presses:
    """Presses `times` times at a slowed CPU, waiting after each until it is painted and kept."""
    slow_down(context, page, SLOWER)
    page.evaluate(WATCH)
    for n in range(times):
        press()
        wait_true(page, f"Boolean(window.presses[{n}]?.painted && window.presses[{n}]?.kept)")
        page.wait_for_timeout(pause_ms)
    done = page.evaluate("window.presses")
    return Presses([p["painted"] for p in done], [p["kept"] for p in done])


# Both pages mark the moment they answer presses.
READY_AT = "performance.getEntriesByName('tappable')[0].startTime"


@dataclass
class Starts:
    """Milliseconds from navigation to first paint and to a page that answers presses."""

    painted: list[float] = field(default_factory=list)
    ready: list[float] = field(default_factory=list)


def measure_starts(
    playwright: Playwright, profile: Path, url: str, ready: str, times: int
) -> Starts:
    """Cold starts: a new browser process each time, the server gone, the CPU slowed."""
    found = Starts()
    for _ in range(times):
        with phone(playwright, profile) as context:
            page = context.pages[0]
            slow_down(context, page, SLOWER)
            page.goto(url)
            wait_true(page, ready)
            found.ready.append(page.evaluate(READY_AT))
            found.painted.append(page.evaluate(FIRST_PAINT))
    return found
