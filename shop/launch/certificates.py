"""Which certificate the server shows: the authority's own leaf, or one that the shop brings."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import serialization

from shop.launch.authority import Authority, Leaf, current_leaf, names_of
from shop.launch.errors import BadCertificateError


@dataclass(frozen=True)
class Shown:
    """A certificate and how it is kept fresh; `root` is what our own authority signs with."""

    leaf: Leaf
    root: Path | None
    renewed: Callable[[], bool]


def own_leaf(authority: Authority, names: Callable[[], list[str]]) -> Shown:
    """A leaf of our authority for these names, issued again when due or when they change."""
    leaf = current_leaf(authority, names())

    def renewed() -> bool:
        before = leaf.certificate.read_bytes() if leaf.certificate.exists() else b""
        current_leaf(authority, names())
        return leaf.certificate.read_bytes() != before

    return Shown(leaf, authority.folder / "root.pem", renewed)


def brought(name: str) -> Shown | None:
    """The certificate that KETTLESIDE_CERTIFICATE names; nothing where it names none.

    Whoever renews it writes the same two files; the server then shows the new one by itself.
    Raises BadCertificateError.
    """
    path = os.environ.get("KETTLESIDE_CERTIFICATE")
    if not path:
        return None
    key = os.environ.get("KETTLESIDE_CERTIFICATE_KEY", path)
    leaf = Leaf(Path(path), Path(key))
    check(leaf, name)
    seen = [_written(leaf)]

    def renewed() -> bool:
        now = _written(leaf)
        changed = now != seen[0]
        seen[0] = now
        return changed

    return Shown(leaf, None, renewed)


def check(leaf: Leaf, name: str) -> None:
    """Whether key and certificate belong together and name this computer. Raises."""
    try:
        certificate = x509.load_pem_x509_certificates(leaf.certificate.read_bytes())[0]
        key = serialization.load_pem_private_key(leaf.key.read_bytes(), password=None)
    except (OSError, ValueError, TypeError) as wrong:
        raise BadCertificateError(leaf.certificate, str(wrong)) from wrong
    if key.public_key() != certificate.public_key():
        raise BadCertificateError(leaf.certificate, f"{leaf.key} is not its key")
    names = names_of(certificate)
    if name not in names and f"*.{name.partition('.')[2]}" not in names:
        listed = ", ".join(sorted(names))
        raise BadCertificateError(leaf.certificate, f"it is for {listed}, not for {name}")


def _written(leaf: Leaf) -> tuple[int, int]:
    return leaf.certificate.stat().st_mtime_ns, leaf.key.stat().st_mtime_ns
