"""How this computer is: room on its disk, days left of the certificate it shows."""

from __future__ import annotations

import os
import shutil
from datetime import UTC, datetime
from pathlib import Path

from cryptography import x509

from shop.launch.places import authority_folder, store_folder

MEGABYTE = 1_000_000


def free_megabytes(folder: Path | None = None) -> int:
    """What the disk of the store (or of `folder`) has left [MB]."""
    return shutil.disk_usage(folder or store_folder()).free // MEGABYTE


def certificate_days(now: datetime | None = None) -> int | None:
    """Whole days until the certificate runs out that phones are shown; below nought it has.

    None where another speaks HTTPS, or nobody does.
    """
    path = _shown()
    if path is None:
        return None
    shown = x509.load_pem_x509_certificates(path.read_bytes())[0]
    return (shown.not_valid_after_utc - (now or datetime.now(UTC))).days


def _shown() -> Path | None:
    """The shop's own certificate, else the leaf of this computer's authority."""
    if os.environ.get("KETTLESIDE_TLS") != "1" or os.environ.get("KETTLESIDE_PROXY") == "1":
        return None
    brought = os.environ.get("KETTLESIDE_CERTIFICATE")
    path = Path(brought) if brought else authority_folder() / "leaf.pem"
    return path if path.exists() else None
