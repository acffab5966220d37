"""A phone whose browser process is killed, as by a dead battery, heat or a fall."""

import os
import signal
import subprocess
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from playwright.sync_api import BrowserContext, Error, Playwright

from tests.browsers import phone


def browser_of(profile: Path) -> list[int]:
    """Process ids of the browser that runs this profile."""
    found = subprocess.run(
        ["pgrep", "-f", f"user-data-dir={profile}"], capture_output=True, text=True, check=False
    )
    return [int(pid) for pid in found.stdout.split()]


def kill(profile: Path) -> None:
    """SIGKILL for the browser that runs this profile."""
    for pid in browser_of(profile):
        os.kill(pid, signal.SIGKILL)


@contextmanager
def dying_phone(playwright: Playwright, profile: Path) -> Iterator[BrowserContext]:
    """A phone that may be killed in the block: only closing it may then fail, nothing else."""
    stack = ExitStack()
    context = stack.enter_context(phone(playwright, profile))
    try:
        yield context
    finally:
        with suppress(Error):
            stack.close()
