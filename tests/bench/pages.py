"""Presses and starts, measured in the page the same way for the product and for its floor."""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, Playwright

from tests.browsers import phone, slow_down, wait_true

SLOWER, REST_MS, SETTLE_MS = 6, 2000, 4000
WATCHED = "painted", "kept"

# Painted: the second animation frame after pointerup. Kept: the page's own mark after its
# strict write completed. Both are counted from the event's own time stamp, each in presses of
# its own: whoever asks for a second frame makes the browser draw it before it hands the page
# what the disk says.
WATCH = """() => {
  window.presses = [];
  addEventListener('pointerup', (event) => {
    const press = { at: event.timeStamp, what: window.watched };
    window.presses.push(press);
    if (press.what !== 'painted') return;
    const painted = () => { press.took = performance.now() - press.at; };
    requestAnimationFrame(() => requestAnimationFrame(painted));
  }, { capture: true });
  new PerformanceObserver((list) => {
    for (const mark of list.getEntriesByName('kept')) {
      const press = window.presses.findLast((p) => p.at <= mark.startTime);
      if (press?.what === 'kept') press.took ??= mark.startTime - press.at;
    }
  }).observe({ type: 'mark' });
}"""

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


class Pressed:
    """A page that is pressed at one spot, by turns with others, each press in the same rhythm.

    Only the page whose turn it is is slowed, and nobody asks it anything before the press is over.
    """

    def __init__(self, page: Page, selector: str) -> None:
        box = page.locator(selector).bounding_box()
        if box is None:
            raise RuntimeError(f"{selector} is not on the page")
        self.page = page
        self.spot = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        self.session = page.context.new_cdp_session(page)
        page.evaluate(WATCH)

    def turn(self, watched: str, times: int, rhythm_ms: int) -> None:
        """`times` presses, slowed, each watched until it is `painted` or `kept`."""
        self.page.evaluate(f"void (window.watched = {watched!r})")
        self._slower(SLOWER)
        for _ in range(times):
            self.page.wait_for_timeout(rhythm_ms)
            self.page.touchscreen.tap(*self.spot)
        wait_true(self.page, "presses.every(({ took }) => took)")
        self._slower(1)

    def _slower(self, rate: int) -> None:
        self.session.send("Emulation.setCPUThrottlingRate", {"rate": rate})

    def times(self) -> Presses:
        """All presses so far."""
        done = self.page.evaluate("presses")
        took = {what: [p["took"] for p in done if p["what"] == what] for what in WATCHED}
        return Presses(**took)


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
    """Cold starts: a new browser process each time, the server gone, the CPU slowed.

    The browser first comes to rest: its own processes starting on this machine's few cores are
    not what the page costs.
    """
    found = Starts()
    for _ in range(times):
        with phone(playwright, profile) as context:
            page = context.pages[0]
            page.wait_for_timeout(REST_MS)
            slow_down(context, page, SLOWER)
            page.goto(url)
            # A slowed page that is asked all the time whether it is ready is late because of that.
            page.wait_for_timeout(SETTLE_MS)
            wait_true(page, ready)
            found.ready.append(page.evaluate(READY_AT))
            found.painted.append(page.evaluate(FIRST_PAINT))
    return found
