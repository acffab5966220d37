"""The one clock of the server."""

import time


def now_ms() -> int:
    """Milliseconds since 1970-01-01 UTC."""
    return time.time_ns() // 1_000_000
