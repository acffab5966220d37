"""This computer's own certificate authority, for HTTPS where there is no public name.

The root lives ten years and is what a phone is told to trust, once. The leaf that the server
shows lives 90 days and is issued again by itself: no browser's limit is shorter, whichever store
the root was put in (Apple: at most 825 days for a root added by hand, support.apple.com/103769;
the same page asks for a DNS name in the SAN and for serverAuth).
"""

from __future__ import annotations

import ipaddress
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from shop.launch.errors import LostKeyError
from shop.launch.places import private_folder, write_private

ROOT_LIFE = timedelta(days=3652)
LEAF_LIFE = timedelta(days=90)
LEAF_RENEWED_AT = timedelta(days=30)
# A phone whose clock is some hours slow must not find the certificate 'not yet valid'.
BACKDATED = timedelta(days=1)


@dataclass(frozen=True)
class Authority:
    """The root certificate and its key; `folder` also holds the leaf."""

    folder: Path
    root: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the root, as phones show it: pairs of hex digits joined by colons."""
        return self.root.fingerprint(hashes.SHA256()).hex(":").upper()

    @property
    def der(self) -> bytes:
        return self.root.public_bytes(serialization.Encoding.DER)


@dataclass(frozen=True)
class Leaf:
    """Paths of what the server shows: a certificate and its key, both PEM."""

    certificate: Path
    key: Path


def open_authority(folder: Path, owner: str, now: datetime | None = None) -> Authority:
    """The authority kept in `folder`; made at the first call, in the name of `owner`."""
    private_folder(folder)
    key_path, root_path = folder / "root.key", folder / "root.pem"
    if not root_path.exists():
        make_root(key_path, root_path, owner, now or datetime.now(UTC))
    if not key_path.exists():
        raise LostKeyError(key_path, root_path)
    root = x509.load_pem_x509_certificate(root_path.read_bytes())
    return Authority(folder=folder, root=root, key=load_key(key_path))


def make_root(key_path: Path, root_path: Path, owner: str, now: datetime) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Kettleside on {owner}"[:64])])
    root = (
        dated(x509.CertificateBuilder(), now, now + ROOT_LIFE)
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(key_usage(signs_certificates=True), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    write_private(key_path, private_pem(key))
    write_private(root_path, root.public_bytes(serialization.Encoding.PEM))


def current_leaf(authority: Authority, names: Sequence[str], now: datetime | None = None) -> Leaf:
    """The leaf for these names and addresses, issued anew when it is due."""
    moment = now or datetime.now(UTC)
    leaf = Leaf(authority.folder / "leaf.pem", authority.folder / "leaf.key")
    if is_due(authority, leaf, names, moment):
        issue(authority, leaf, names, moment)
    return leaf


def is_due(authority: Authority, leaf: Leaf, names: Sequence[str], now: datetime) -> bool:
    """No leaf, 30 days left or fewer, other names, another root, or a key that is not its own."""
    try:
        shown = x509.load_pem_x509_certificate(leaf.certificate.read_bytes())
        own_key = load_key(leaf.key).public_key() == shown.public_key()
        shown.verify_directly_issued_by(authority.root)
    except Exception:  # whatever is wrong with the files, a new leaf mends it
        return True
    soon = shown.not_valid_after_utc - now <= LEAF_RENEWED_AT
    early = now < shown.not_valid_before_utc
    return soon or early or not own_key or names_of(shown) != set(names)


def issue(authority: Authority, leaf: Leaf, names: Sequence[str], now: datetime) -> None:
    """Issue a leaf with a key of its own.

    The key goes first: a crash between the two leaves a pair that `is_due` finds wrong.
    """
    key = ec.generate_private_key(ec.SECP256R1())
    until = min(now - BACKDATED + LEAF_LIFE, authority.root.not_valid_after_utc)
    issuer_key = authority.key.public_key()
    certificate = (
        dated(x509.CertificateBuilder(), now, until)
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, names[0][:64])]))
        .issuer_name(authority.root.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .add_extension(x509.SubjectAlternativeName(general_names(names)), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(key_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(issuer_key), critical=False
        )
        .sign(authority.key, hashes.SHA256())
    )
    write_private(leaf.key, private_pem(key))
    write_private(leaf.certificate, certificate.public_bytes(serialization.Encoding.PEM))


def dated(
    builder: x509.CertificateBuilder, now: datetime, until: datetime
) -> x509.CertificateBuilder:
    return builder.not_valid_before(now - BACKDATED).not_valid_after(until)


def key_usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def general_names(names: Sequence[str]) -> list[x509.GeneralName]:
    return [general_name(name) for name in names]


def general_name(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name)


def names_of(certificate: x509.Certificate) -> set[str]:
    extension = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName)
    return {str(name.value) for name in extension.value}


def private_pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )


def load_key(path: Path) -> ec.EllipticCurvePrivateKey:
    key = serialization.load_pem_private_key(path.read_bytes(), password=None)
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise TypeError(f"{path} holds a {type(key).__name__}, not an elliptic-curve key.")
    return key
