"""A worker must not outlive the program: an orphan would go on holding the port."""

from __future__ import annotations

import multiprocessing
import os
import threading


def leave_with_parent() -> None:
    """End this process when the one that spawned it is gone, however it went (kill -9 too).

    Without a parent of that kind (another server runs the application) it does nothing.
    """
    parent = multiprocessing.parent_process()
    if parent is None:
        return

    def wait_and_leave() -> None:
        parent.join()
        os._exit(1)

    threading.Thread(target=wait_and_leave, name="leave-with-parent", daemon=True).start()
