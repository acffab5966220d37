"""The authority, judged by others: OpenSSL, and the path validation of `cryptography`'s own
verifier, which follows RFC 5280 and the CA/Browser Forum's Baseline Requirements."""

from __future__ import annotations

import stat
import subprocess
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from shop.launch.authority import Authority, Leaf, current_leaf, open_authority
from shop.launch.errors import LostKeyError

NAMES = ("sugar-loft.local", "localhost", "127.0.0.1", "::1", "192.0.2.7")
NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
DAY = timedelta(days=1)


@pytest.fixture
def authority(tmp_path: Path) -> Authority:
    return open_authority(tmp_path / "authority", "sugar-loft.local", NOW)


def shown(leaf: Leaf) -> x509.Certificate:
    return x509.load_pem_x509_certificate(leaf.certificate.read_bytes())


def verify(authority: Authority, leaf: Leaf, name: str, when: datetime) -> Sequence[object]:
    policy = PolicyBuilder().store(Store([authority.root])).time(when)
    return policy.build_server_verifier(x509.DNSName(name)).verify(shown(leaf), [])


def test_the_chain_holds_for_the_name_and_not_for_another(authority: Authority) -> None:
    leaf = current_leaf(authority, NAMES, NOW)
    assert verify(authority, leaf, "sugar-loft.local", NOW)
    with pytest.raises(VerificationError, match="no matching subjectAltName"):
        verify(authority, leaf, "another.local", NOW)


def test_openssl_takes_the_chain_for_a_server(authority: Authority) -> None:
    leaf = current_leaf(authority, NAMES, NOW)
    command = ["openssl", "verify", "-x509_strict", "-purpose", "sslserver"]
    command += ["-attime", str(int(NOW.timestamp())), "-verify_hostname", "sugar-loft.local"]
    command += ["-CAfile", str(authority.folder / "root.pem"), str(leaf.certificate)]
    ended = subprocess.run(command, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stderr


def test_the_leaf_meets_the_rules_of_phones(authority: Authority) -> None:
    """support.apple.com/103769: SAN, serverAuth, SHA-2, at most 825 days; ours are at most 90."""
    certificate = shown(current_leaf(authority, NAMES, NOW))
    life = certificate.not_valid_after_utc - certificate.not_valid_before_utc
    assert life <= 90 * DAY
    san = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert san.get_values_for_type(x509.DNSName) == ["sugar-loft.local", "localhost"]
    assert [str(ip) for ip in san.get_values_for_type(x509.IPAddress)] == list(NAMES[2:])
    usage = certificate.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(usage) == [ExtendedKeyUsageOID.SERVER_AUTH]
    key = certificate.public_key()
    assert isinstance(key, ec.EllipticCurvePublicKey)
    assert isinstance(key.curve, ec.SECP256R1)
    assert certificate.signature_hash_algorithm is not None
    assert certificate.signature_hash_algorithm.name == "sha256"


def test_the_root_lives_ten_years_and_signs_leaves_only(authority: Authority) -> None:
    root = authority.root
    assert root.not_valid_after_utc.year == 2036
    constraints = root.extensions.get_extension_for_class(x509.BasicConstraints)
    assert constraints.critical
    assert constraints.value == x509.BasicConstraints(ca=True, path_length=0)


def test_a_phone_whose_clock_is_slow_takes_it_too(authority: Authority) -> None:
    leaf = current_leaf(authority, NAMES, NOW)
    assert verify(authority, leaf, "localhost", NOW - timedelta(hours=23))


def test_the_leaf_renews_itself_at_thirty_days_and_not_before(authority: Authority) -> None:
    first = shown(current_leaf(authority, NAMES, NOW))
    end = first.not_valid_after_utc
    kept = shown(current_leaf(authority, NAMES, end - 30 * DAY - timedelta(minutes=1)))
    assert kept == first
    renewed = shown(current_leaf(authority, NAMES, end - 30 * DAY))
    assert renewed.serial_number != first.serial_number
    assert renewed.not_valid_after_utc == end - 30 * DAY - DAY + 90 * DAY


def test_the_leaf_never_outlives_the_root(authority: Authority) -> None:
    late = authority.root.not_valid_after_utc - 40 * DAY
    certificate = shown(current_leaf(authority, NAMES, late))
    assert certificate.not_valid_after_utc == authority.root.not_valid_after_utc


@pytest.mark.parametrize("spoilt", ["other names", "other key", "half a file", "other root"])
def test_a_leaf_that_would_not_serve_is_issued_again(
    spoilt: str, authority: Authority, tmp_path: Path
) -> None:
    leaf = current_leaf(authority, NAMES, NOW)
    before = shown(leaf).serial_number
    names = (*NAMES, "192.0.2.8") if spoilt == "other names" else NAMES
    if spoilt == "other key":
        leaf.key.write_bytes((authority.folder / "root.key").read_bytes())
    if spoilt == "half a file":
        leaf.certificate.write_bytes(leaf.certificate.read_bytes()[:200])
    if spoilt == "other root":
        other = open_authority(tmp_path / "other", "other.local", NOW)
        leaf.certificate.write_bytes(current_leaf(other, NAMES, NOW).certificate.read_bytes())
        leaf.key.write_bytes((other.folder / "leaf.key").read_bytes())
    again = current_leaf(authority, names, NOW)
    assert shown(again).serial_number != before
    assert verify(authority, again, "sugar-loft.local", NOW)


def test_opened_again_it_is_the_same_authority(authority: Authority) -> None:
    again = open_authority(authority.folder, "renamed.local", NOW + 400 * DAY)
    assert again.fingerprint == authority.fingerprint
    command = ["openssl", "x509", "-noout", "-fingerprint", "-sha256"]
    command += ["-in", str(authority.folder / "root.pem")]
    said = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    assert said.strip().partition("=")[2] == authority.fingerprint


def test_no_other_account_can_read_the_keys(authority: Authority) -> None:
    current_leaf(authority, NAMES, NOW)
    assert stat.S_IMODE(authority.folder.stat().st_mode) == 0o700
    for name in ("root.key", "leaf.key"):
        assert stat.S_IMODE((authority.folder / name).stat().st_mode) == 0o600


def test_a_lost_key_is_told_and_never_replaced_in_silence(authority: Authority) -> None:
    (authority.folder / "root.key").unlink()
    with pytest.raises(LostKeyError, match="authority new; each phone must then be told"):
        open_authority(authority.folder, "sugar-loft.local", NOW)
    (authority.folder / "root.pem").unlink()
    new = open_authority(authority.folder, "sugar-loft.local", NOW)
    assert new.fingerprint != authority.fingerprint
