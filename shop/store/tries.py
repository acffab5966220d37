"""Counting wrong codes: so many a minute from one address, and so many from all together.

Held in memory: a code of six digits that holds 15 minutes is guessed with a chance of 1 in 2,000
at most at the rate all together may try.
"""

from collections import deque
from threading import Lock

from shop.store.errors import TooManyTries

MINUTE_MS = 60_000
FROM_ONE = 5
TOGETHER = 30


class Tries:
    """The wrong tries of the last minute: who [address] and when [ms]."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._wrong: deque[tuple[str, int]] = deque()

    def check(self, address: str, moment: int) -> None:
        """Raises TooManyTries when this address, or all together, tried too often."""
        with self._lock:
            while self._wrong and self._wrong[0][1] <= moment - MINUTE_MS:
                self._wrong.popleft()
            together = [when for _, when in self._wrong]
            own = [when for who, when in self._wrong if who == address]
        for tries, limit in ((own, FROM_ONE), (together, TOGETHER)):
            if len(tries) >= limit:
                wait_s = -((moment - MINUTE_MS - tries[-limit]) // 1000)
                raise TooManyTries(len(tries), limit, wait_s)

    def count(self, address: str, moment: int) -> None:
        """Remember a wrong try."""
        with self._lock:
            self._wrong.append((address, moment))
