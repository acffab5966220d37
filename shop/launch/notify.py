"""Telling the service manager that we serve, and that we still do (sd_notify(3)).

Without one that asks for it, nothing is sent.
"""

from __future__ import annotations

import os
import socket
import time
from collections.abc import Callable

MICROSECONDS = 1_000_000


def notify(word: str) -> bool:
    """Send `READY=1`, `WATCHDOG=1`; False where nobody listens."""
    address = os.environ.get("NOTIFY_SOCKET", "")
    if not address:
        return False
    # "@" stands for the zero byte of an abstract address (unix(7)).
    place = f"\0{address[1:]}" if address.startswith("@") else address
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as line:
        line.sendto(word.encode(), place)
    return True


def watched_every() -> float | None:
    """How often to say so [s]: twice within the time after which we would be taken for dead."""
    asked = os.environ.get("WATCHDOG_USEC", "")
    return int(asked) / MICROSECONDS / 2 if asked.isdigit() and int(asked) else None


def stay_watched(answers: Callable[[], bool]) -> None:
    """Say that we live as long as we answer; one that hangs is then started again."""
    every = watched_every()
    while every:
        if answers():
            notify("WATCHDOG=1")
        time.sleep(every)
