"""The authority kept under a passphrase, brought to another computer, and lost."""

import stat
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.serialization import pkcs12

from shop.launch import keeping
from shop.launch.authority import open_authority
from shop.launch.errors import BadAuthorityError, LostKeyError
from tests.programs import manage


def test_what_is_kept_comes_back_as_it_was_on_another_computer(tmp_path: Path) -> None:
    here, there, file = tmp_path / "here", tmp_path / "there", tmp_path / "kept.p12"
    authority = open_authority(here, "sugar-loft.local")
    passphrase = keeping.keep(here, file)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert len(passphrase) == 29
    aside = keeping.bring(there, file, f" {passphrase}\n")
    assert aside is None
    again = open_authority(there, "")
    assert again.fingerprint == authority.fingerprint
    assert again.key.private_numbers() == authority.key.private_numbers()
    # Any other program that reads PKCS #12 opens it.
    key, root, _ = pkcs12.load_key_and_certificates(file.read_bytes(), passphrase.encode())
    assert (key is not None, root) == (True, authority.root)


def test_what_stood_there_is_moved_aside_and_never_deleted(tmp_path: Path) -> None:
    here, there, file = tmp_path / "here", tmp_path / "there", tmp_path / "kept.p12"
    open_authority(here, "sugar-loft.local")
    before = open_authority(there, "other.local")
    aside = keeping.bring(there, file, keeping.keep(here, file))
    assert aside is not None
    assert open_authority(aside, "").fingerprint == before.fingerprint


def test_without_the_passphrase_nothing_is_changed(tmp_path: Path) -> None:
    here, there, file = tmp_path / "here", tmp_path / "there", tmp_path / "kept.p12"
    with pytest.raises(BadAuthorityError, match="no authority yet"):
        keeping.keep(here, file)
    open_authority(here, "sugar-loft.local")
    before = open_authority(there, "other.local").fingerprint
    keeping.keep(here, file)
    for wrong, content in (("wrong", file.read_bytes()), ("wrong", b"no authority at all")):
        file.write_bytes(content)
        with pytest.raises(BadAuthorityError, match="can't be read with this passphrase"):
            keeping.bring(there, file, wrong)
    assert open_authority(there, "").fingerprint == before


def test_a_lost_key_is_walked_through_by_the_command(tmp_path: Path) -> None:
    folder, file = tmp_path / "authority", tmp_path / "kept.p12"
    first = open_authority(folder, "sugar-loft.local").fingerprint
    kept = manage(tmp_path, "authority", "keep", str(file))
    assert kept.returncode == 0, kept.stderr
    passphrase = kept.stdout.split("shown this once: ")[1].split()[0]
    (folder / "root.key").unlink()
    with pytest.raises(LostKeyError, match="authority bring FILE"):
        open_authority(folder, "")
    refused = manage(tmp_path, "serve", "--lan", "--no-announce")
    assert (refused.returncode, "authority new" in refused.stderr) == (2, True)
    brought = manage(tmp_path, "authority", "bring", str(file), "--passphrase", passphrase)
    assert brought.returncode == 0, brought.stderr
    assert open_authority(folder, "").fingerprint == first
    assert "never" not in manage(tmp_path, "authority", "new").stdout
    assert open_authority(folder, "sugar-loft.local").fingerprint != first
    wrong = manage(tmp_path, "authority", "bring", str(file), "--passphrase", "wrong")
    assert (wrong.returncode, "passphrase" in wrong.stderr) == (1, True)
