"""The one name of this computer, and that others find it by multicast DNS (RFC 6762)."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from subprocess import PIPE

import pytest

from shop.launch.errors import BadNameError
from shop.launch.names import announced, check_name, kept_name, leave, old_names, own_name
from tests.programs import ROOT


def test_the_name_of_the_first_start_is_kept_and_old_ones_are_remembered(tmp_path: Path) -> None:
    assert kept_name(tmp_path, "Sugar-Loft.local.") == "sugar-loft.local"
    assert kept_name(tmp_path) == "sugar-loft.local"
    assert old_names(tmp_path) == []
    assert kept_name(tmp_path, "sweets.example") == "sweets.example"
    assert old_names(tmp_path) == ["sugar-loft.local"]
    assert kept_name(tmp_path, "third.example") == "third.example"
    assert old_names(tmp_path) == ["sugar-loft.local", "sweets.example"]
    # Back to a name it had: that is no old one any more.
    assert kept_name(tmp_path, "sugar-loft.local") == "sugar-loft.local"
    assert old_names(tmp_path) == ["sweets.example", "third.example"]
    leave(tmp_path, "sweets.example")
    assert old_names(tmp_path) == ["third.example"]
    with pytest.raises(BadNameError, match=r"no old name .* \(old ones: third.example\)"):
        leave(tmp_path, "sweets.example")


@pytest.mark.parametrize(
    ("host", "name"),
    [
        ("Maker's PC", "maker-s-pc.local"),
        ("loft.fritz.box", "loft.local"),
        ("ÄÖ", "kettleside.local"),
    ],
)
def test_this_computers_own_name_becomes_one_that_phones_take(host: str, name: str) -> None:
    assert own_name(host) == name
    assert check_name(name) == name


@pytest.mark.parametrize("address", ["192.0.2.7", "2001:db8::1", "127.0.0.1"])
def test_a_bare_address_is_no_name(address: str) -> None:
    with pytest.raises(BadNameError, match="bare address can pass to another machine"):
        check_name(address)


@pytest.mark.parametrize(
    "name", ["loft", "", "-loft.local", "lo ft.local", "a..b", "x" * 300 + ".a"]
)
def test_a_name_no_browser_takes_is_refused_and_quoted(name: str) -> None:
    with pytest.raises(BadNameError, match="letters, digits and hyphens") as caught:
        check_name(name)
    assert repr(name) in str(caught.value)


ANNOUNCE = """
import sys
from shop.launch.names import announced
names = ["old.local", "kettle-test.local"]
with announced(names, 8443, ["192.0.2.7"], interfaces=["127.0.0.1"]) as done:
    print(done, flush=True)
    sys.stdin.read()
"""
FIND = """
from zeroconf import Zeroconf
kind = "_https._tcp.local."
found = Zeroconf(interfaces=["127.0.0.1"]).get_service_info(kind, f"kettle-test.{kind}", 8000)
print(found.server, *found.parsed_addresses(), found.port)
"""


def test_another_computer_finds_the_name() -> None:
    """Two processes, as on two computers, over the loopback network alone."""
    with subprocess.Popen(
        [sys.executable, "-c", ANNOUNCE], cwd=ROOT, stdin=PIPE, stdout=PIPE, text=True
    ) as announcer:
        assert announcer.stdout is not None
        assert announcer.stdout.readline() == "True\n"
        found = subprocess.run(
            [sys.executable, "-c", FIND], capture_output=True, text=True, check=True
        )
        announcer.communicate("", timeout=20)
    assert found.stdout == "kettle-test.local. 192.0.2.7 8443\n"


@pytest.mark.parametrize(
    ("name", "addresses"), [("sweets.example", ["192.0.2.7"]), ("loft.local", [])]
)
def test_a_name_that_is_not_ours_to_announce_is_left_to_the_router(
    name: str, addresses: list[str]
) -> None:
    with announced([name], 8443, addresses, interfaces=["127.0.0.1"]) as done:
        assert not done
