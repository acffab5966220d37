"""One server on one embedded store: the second says so in place of serving.

SQLite itself lets both write in turn; but each would keep its own count of wrong passwords and its
own daily backups, and people would be shown two addresses for one shop.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from shop.launch.errors import AlreadyServedError, NoRoomToServeError
from shop.launch.faults import fault_of
from shop.launch.setup_lock import taken

# Room that a start needs at the least: SQLite's own files beside the database [bytes].
LEAST = 200_000


@contextmanager
def only_server(folder: Path) -> Iterator[None]:
    """Hold the store in `folder` while the block runs; the system lets go of it with the process.

    Raises AlreadyServedError, and NoRoomToServeError where nothing can be written.
    """
    check_writable(folder)
    with (folder / "serving.lock").open("ab") as file:
        if not taken(file):
            raise AlreadyServedError(folder)
        yield


def check_writable(folder: Path) -> None:
    """Asked by writing: neither permissions nor the free room that is told are the whole truth."""
    probe = folder / "room.probe"
    try:
        with probe.open("wb") as file:
            file.write(bytes(LEAST))
            file.flush()
    except OSError as error:
        raise NoRoomToServeError(folder, fault_of(error).say, error.strerror or "") from error
    finally:
        _forget(probe)


def _forget(probe: Path) -> None:
    try:
        probe.unlink(missing_ok=True)
    except OSError:
        # On a disk that takes no writing there is nothing to forget.
        return
