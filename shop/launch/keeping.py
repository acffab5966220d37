"""The authority outside its folder: kept under a passphrase, brought to another computer, lost.

Whoever has the root's key can stand in for the shop before every phone that trusts it, so it
leaves the folder only encrypted, and its passphrase is told once (PKCS #12, RFC 7292).
"""

from __future__ import annotations

import secrets
from datetime import UTC, datetime
from pathlib import Path

from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import pkcs12

from shop.launch.authority import open_authority
from shop.launch.errors import BadAuthorityError
from shop.launch.places import private_folder, write_private

PARTS = ("root.key", "root.pem", "leaf.key", "leaf.pem")
# Six groups of four letters without look-alikes: 137 bits.
LETTERS, GROUPS = "abcdefghjkmnpqrstuvwxyz23456789"[:27], 6


def keep(folder: Path, file: Path) -> str:
    """Write root and key to `file`, and return the passphrase that opens it. Raises LostKeyError,
    BadAuthorityError."""
    if not (folder / "root.pem").exists():
        raise BadAuthorityError(folder, "there is no authority yet; `serve --lan` makes it")
    authority = open_authority(folder, "")
    passphrase = "-".join("".join(secrets.choice(LETTERS) for _ in range(4)) for _ in range(GROUPS))
    lock = serialization.BestAvailableEncryption(passphrase.encode())
    name = b"Kettleside authority"
    content = pkcs12.serialize_key_and_certificates(name, authority.key, authority.root, None, lock)
    write_private(file, content)
    return passphrase


def bring(folder: Path, file: Path, passphrase: str) -> Path | None:
    """Put the authority of `file` in place; what stood there is moved to the folder returned.

    Raises BadAuthorityError; then nothing was changed.
    """
    try:
        key, root, _ = pkcs12.load_key_and_certificates(
            file.read_bytes(), passphrase.strip().encode()
        )
    except (OSError, ValueError) as wrong:
        raise BadAuthorityError(file, "it can't be read with this passphrase") from wrong
    if not isinstance(key, ec.EllipticCurvePrivateKey) or root is None:
        raise BadAuthorityError(file, "it holds no authority of Kettleside")
    aside = set_aside(folder)
    private_folder(folder)
    pem, plain = serialization.Encoding.PEM, serialization.NoEncryption()
    pkcs8 = serialization.PrivateFormat.PKCS8
    write_private(folder / "root.key", key.private_bytes(pem, pkcs8, plain))
    write_private(folder / "root.pem", root.public_bytes(pem))
    return aside


def set_aside(folder: Path) -> Path | None:
    """Move root and leaf away, never delete them; nothing where there is none."""
    there = [folder / part for part in PARTS if (folder / part).exists()]
    if not there:
        return None
    aside = private_folder(folder / f"before-{datetime.now(UTC):%Y%m%d-%H%M%S}")
    for path in there:
        path.rename(aside / path.name)
    return aside
