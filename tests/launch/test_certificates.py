"""A certificate that the shop brings, and one that is renewed by whoever made it."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from shop.launch.authority import Leaf, current_leaf, open_authority
from shop.launch.certificates import brought, check
from shop.launch.errors import BadCertificateError
from tests.launch.test_serving import serial
from tests.programs import free_port, running, wait_until

NOW = datetime.now(UTC)


def made(folder: Path, *names: str) -> Leaf:
    """A certificate of somebody else's authority for these names."""
    return current_leaf(open_authority(folder, "elsewhere"), names, NOW)


def test_nothing_is_brought_unless_the_settings_say_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("KETTLESIDE_CERTIFICATE", raising=False)
    assert brought("sugar-loft.local") is None


@pytest.mark.parametrize("names", [("sweets.example",), ("*.example",)])
def test_a_certificate_for_the_name_is_taken(tmp_path: Path, names: tuple[str, ...]) -> None:
    check(made(tmp_path, *names), "sweets.example")


def test_one_that_no_phone_would_take_is_refused_with_the_reason(tmp_path: Path) -> None:
    leaf, other = made(tmp_path / "a", "sweets.example"), made(tmp_path / "b", "sweets.example")
    with pytest.raises(BadCertificateError, match=r"for sweets\.example, not for loft"):
        check(leaf, "loft.local")
    with pytest.raises(BadCertificateError, match="is not its key"):
        check(Leaf(leaf.certificate, other.key), "sweets.example")
    with pytest.raises(BadCertificateError, match="No such file"):
        check(Leaf(tmp_path / "nothing.pem", leaf.key), "sweets.example")
    with pytest.raises(BadCertificateError, match="can't be shown"):
        check(Leaf(leaf.key, leaf.key), "sweets.example")


def test_it_is_served_without_a_first_visit_and_shown_anew_when_its_files_change(
    tmp_path: Path,
) -> None:
    leaf = made(tmp_path / "data" / "authority", "sugar-loft.local")
    lan = ("--lan", "--no-announce", "--host", "sugar-loft.local")
    first = ("--first-visit-port", str(free_port()))
    with running(
        tmp_path / "data",
        *("serve", *lan, *first),
        KETTLESIDE_CERTIFICATE=str(leaf.certificate),
        KETTLESIDE_CERTIFICATE_KEY=str(leaf.key),
        KETTLESIDE_RENEWAL_SECONDS="0.2",
    ) as program:
        before = serial(program)
        assert "first visit" not in program.chatter()
        leaf.certificate.unlink()
        made(tmp_path / "data" / "authority", "sugar-loft.local")
        wait_until(lambda: serial(program) != before, 20)
