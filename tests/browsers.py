"""Chromium for tests and the bench: one place for its path, its flags and a phone's shape."""

import os
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import BrowserContext, Error, Page, Playwright, ViewportSize

CHROMIUM = os.environ.get("KETTLESIDE_CHROMIUM", "/usr/bin/chromium")
# Without the background-networking flags Chromium looks up its maker's hosts at every start.
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PHONE: ViewportSize = {"width": 390, "height": 844}


@contextmanager
def phone(
    playwright: Playwright, profile: Path, *, home: Path | None = None, flags: Sequence[str] = ()
) -> Iterator[BrowserContext]:
    """A phone with its own profile on disk; `home` holds the authorities it trusts."""
    context = playwright.chromium.launch_persistent_context(
        profile,
        executable_path=CHROMIUM,
        headless=True,
        args=[*FLAGS, *flags],
        viewport=PHONE,
        device_scale_factor=2,
        is_mobile=True,
        has_touch=True,
        env={**os.environ, "HOME": str(home)} if home else None,
    )
    try:
        yield context
    finally:
        context.close()


def wait_true(page: Page, expression: str, seconds: float = 20) -> None:
    """Waits until the page says so; Playwright's own waiting evaluates text, which the content
    policy of our pages forbids. A page that navigates meanwhile is asked again."""
    deadline = time.monotonic() + seconds
    while not _says(page, expression):
        if time.monotonic() > deadline:
            raise TimeoutError(f"not true within {seconds} s: {expression}")
        time.sleep(0.02)


def _says(page: Page, expression: str) -> bool:
    try:
        return bool(page.evaluate(expression))
    except Error as error:
        if "context was destroyed" not in str(error):
            raise
        return False


def slow_down(context: BrowserContext, page: Page, times: int) -> None:
    """Slow the page's main thread; the worker and the browser's own work are not slowed."""
    session = context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": times})
