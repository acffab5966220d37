"""What broke, in words for somebody who is no administrator: what it means and what to do."""

from __future__ import annotations

import errno
from dataclasses import dataclass

# SQLSTATE (postgresql.org/docs/current/errcodes-appendix.html).
DISK_FULL, READ_ONLY = "53100", "25006"


@dataclass(frozen=True, slots=True)
class Fault:
    """A code for programs and a sentence for people."""

    code: str
    say: str


NO_ROOM = Fault(
    "no-room",
    "The disk of the shop's computer is full: nothing more can be kept there. Make room. What "
    "phones hold stays on them and is sent then.",
)
NOT_WRITABLE = Fault(
    "not-writable",
    "The disk of the shop's computer takes no more writing: it is switched to read-only or "
    "failing. Take a copy of the data folder, then look at the disk. What phones hold stays on "
    "them and is sent later.",
)
BUSY = Fault(
    "busy",
    "The store was held by another program for too long. It will be tried again; if this stays, "
    "look what else has the store open.",
)
BROKEN = Fault(
    "broken",
    "The program met a fault of its own; nothing of this was kept. It will be tried again. If "
    "it repeats, send this line to whoever looks after the program.",
)
OF_THE_SYSTEM = {
    errno.ENOSPC: NO_ROOM,
    errno.EDQUOT: NO_ROOM,
    errno.EROFS: NOT_WRITABLE,
    errno.EIO: NOT_WRITABLE,
}
# What SQLite says (sqlite.org/rescode.html: FULL, READONLY, IOERR, BUSY); it has no values in it.
OF_SQLITE = {
    "disk is full": NO_ROOM,
    "readonly database": NOT_WRITABLE,
    "unable to open database file": NOT_WRITABLE,
    "disk I/O error": NOT_WRITABLE,
    "database is locked": BUSY,
}


def fault_of(error: BaseException | None) -> Fault:
    """Which fault it is; looks through what it was raised from."""
    seen: set[int] = set()
    while error is not None and id(error) not in seen:
        seen.add(id(error))
        found = _itself(error)
        if found is not None:
            return found
        error = error.__cause__ or error.__context__
    return BROKEN


def _itself(error: BaseException) -> Fault | None:
    if isinstance(error, OSError) and error.errno in OF_THE_SYSTEM:
        return OF_THE_SYSTEM[error.errno]
    state = getattr(error, "sqlstate", None)
    if state in (DISK_FULL, READ_ONLY):
        return NO_ROOM if state == DISK_FULL else NOT_WRITABLE
    if type(error).__module__ != "sqlite3":
        return None
    return next((fault for words, fault in OF_SQLITE.items() if words in str(error)), None)
