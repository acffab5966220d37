"""A home whose browser trusts one authority, as a person's phone does after the first visit."""

from __future__ import annotations

import subprocess
from pathlib import Path


def trusting_home(home: Path, root: Path) -> Path:
    """Put the root into the trust store that Chromium reads under this home (NSS)."""
    store = home / ".pki" / "nssdb"
    store.mkdir(parents=True)
    database = f"sql:{store}"
    subprocess.run(["certutil", "-N", "-d", database, "--empty-password"], check=True)
    added = ["certutil", "-A", "-d", database, "-t", "C,,", "-n", "shop", "-i", str(root)]
    subprocess.run(added, check=True)
    return home
