"""The program's secret key made anew; the old one holds a while, so that nothing breaks at once.

What the key signs: who is signed in at a desk, and the links to proofs. Phones are not touched:
their tokens are random and only their hashes are here; nor are PINs and passwords.

    secret.key     the key that signs now
    secret.old     {"key": …, "until": …} a line, those before it, until when each is still believed
"""

from __future__ import annotations

import json
import os
import secrets
from datetime import UTC, datetime, timedelta
from pathlib import Path

from shop.launch.places import write_private

KEY, OLD = "secret.key", "secret.old"
BYTES = 64
USUAL_DAYS = 14
MOST_DAYS = 60


def old_keys(folder: Path, now: datetime | None = None) -> list[str]:
    """Keys before the present one that are still believed, newest first."""
    moment = (now or datetime.now(UTC)).isoformat()
    return [line["key"] for line in _lines(folder) if moment < line["until"]]


def rotate(folder: Path, days: int, now: datetime | None = None) -> None:
    """Make a new key; the old ones are believed for so many days more [0 – 60], 0: not at all.

    The next start of the server reads it.
    """
    moment = now or datetime.now(UTC)
    until = (moment + timedelta(days=days)).isoformat()
    before = {"key": (folder / KEY).read_text(), "until": until}
    kept = [line for line in _lines(folder) if moment.isoformat() < line["until"]]
    # The old one first: a crash between the two must not lose it.
    lines = [before, *kept] if days else []
    _put(folder / OLD, "".join(f"{json.dumps(line)}\n" for line in lines))
    _put(folder / KEY, secrets.token_urlsafe(BYTES))


def _lines(folder: Path) -> list[dict[str, str]]:
    path = folder / OLD
    return [json.loads(line) for line in path.read_text().splitlines()] if path.exists() else []


def _put(path: Path, text: str) -> None:
    draft = path.with_name(f"{path.name}.{os.getpid()}.draft")
    write_private(draft, text.encode())
    draft.replace(path)
