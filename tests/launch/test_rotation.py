"""The secret key made anew: what was signed holds for the stated days, or ends at once."""

import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from shop.launch.places import kept_secret
from shop.launch.rotation import old_keys, rotate
from tests.programs import beside, manage

NOON = datetime(2026, 11, 26, 12, tzinfo=UTC)
DEMO = {"KETTLESIDE_SHOP": "demo"}


def test_the_old_key_is_believed_until_its_day_and_not_longer(tmp_path: Path) -> None:
    first = kept_secret(tmp_path / "secret.key")
    rotate(tmp_path, 14, NOON)
    second = kept_secret(tmp_path / "secret.key")
    assert first != second
    assert len(second) >= 50
    assert old_keys(tmp_path, NOON + timedelta(days=13)) == [first]
    assert old_keys(tmp_path, NOON + timedelta(days=14)) == []
    # Again meanwhile: each has its own day; one that is over is not even kept in the file.
    rotate(tmp_path, 14, NOON + timedelta(days=7))
    assert old_keys(tmp_path, NOON + timedelta(days=8)) == [second, first]
    rotate(tmp_path, 1, NOON + timedelta(days=15))
    assert first not in (tmp_path / "secret.old").read_text()


def test_at_once_nothing_before_is_believed(tmp_path: Path) -> None:
    kept_secret(tmp_path / "secret.key")
    rotate(tmp_path, 14, NOON)
    rotate(tmp_path, 0, NOON)
    assert old_keys(tmp_path, NOON) == []
    assert (tmp_path / "secret.old").read_text() == ""


def test_no_other_account_can_read_either(tmp_path: Path) -> None:
    kept_secret(tmp_path / "secret.key")
    rotate(tmp_path, 3)
    assert {stat.S_IMODE(path.stat().st_mode) for path in tmp_path.iterdir()} == {0o600}
    assert sorted(path.name for path in tmp_path.iterdir()) == ["secret.key", "secret.old"]


# A session as signing in makes it and a proof's link, made by one start and shown to the next.
SIGN = """
from django.contrib.auth import get_user_model
from django.core.management import call_command
from django.test import Client
from shop.screens.office.proof import SIGNER
call_command("migrate", verbosity=0)
user, _ = get_user_model().objects.get_or_create(username="greta")
client = Client()
client.force_login(user)
answer = [client.cookies["sessionid"].value, SIGNER.sign_object("a-proof")]
"""
ASK = """
from django.core import signing
from django.test import Client
from shop.screens.office.proof import SIGNER
client = Client(headers={{"host": "localhost"}})
client.cookies["sessionid"] = {0!r}
said = client.get("/office/password/").status_code
try:
    proof = SIGNER.unsign_object({1!r})
except signing.BadSignature:
    proof = ""
answer = [said, proof]
"""


@pytest.mark.parametrize(
    ("days", "still"), [("14", [200, "a-proof"]), ("0", [302, ""])], ids=["14 days", "at once"]
)
def test_who_is_signed_in_and_what_link_was_sent(
    tmp_path: Path, days: str, still: list[object]
) -> None:
    session, link = beside(tmp_path, SIGN)
    assert beside(tmp_path, ASK.format(session, link)) == [200, "a-proof"]
    done = manage(tmp_path, "rotate", "--days", days, **DEMO)
    assert done.returncode == 0, done.stderr
    assert ("end at once" in done.stdout) is (days == "0")
    assert beside(tmp_path, ASK.format(session, link)) == still


def test_too_many_days_are_refused_and_nothing_is_changed(tmp_path: Path) -> None:
    before = manage(tmp_path, "check", **DEMO)
    assert before.returncode == 0, before.stderr
    key = (tmp_path / "demo" / "secret.key").read_text()
    refused = manage(tmp_path, "rotate", "--days", "61", **DEMO)
    assert "must be from 0 to 60" in refused.stderr
    assert (tmp_path / "demo" / "secret.key").read_text() == key
