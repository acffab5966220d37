"""One set-up at a time, on every system, with nothing but the standard library."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

if sys.platform == "win32":
    import msvcrt

    def try_lock(file: IO[bytes]) -> None:
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def try_lock(file: IO[bytes]) -> None:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


@contextmanager
def setup_lock(path: Path, pause: float = 0.2) -> Iterator[None]:
    """Hold the lock while the block runs; the system frees it if the process dies."""
    with path.open("ab") as file:
        told = False
        while not taken(file):
            if not told:
                print("Setting up: another start is at it; waiting", file=sys.stderr, flush=True)
                told = True
            time.sleep(pause)
        yield


def taken(file: IO[bytes]) -> bool:
    try:
        try_lock(file)
    except OSError:
        return False
    return True
