"""The page where a phone meets the shop's computer."""

from __future__ import annotations

import plistlib
import urllib.request
from collections.abc import Iterator
from email.message import Message
from http.client import HTTPResponse
from pathlib import Path
from urllib.error import HTTPError

import pytest
import segno
from axe_playwright_python.sync_playwright import Axe
from cryptography import x509
from playwright.sync_api import Playwright

from shop.launch.authority import Authority, open_authority
from shop.launch.errors import PortTakenError
from shop.launch.first_visit import Place, first_visit_server, pages
from shop.launch.qr import terminal_qr
from tests.browsers import phone

FLOOR = "https://sugar-loft.local:8443/floor/"
FAULTS = (Path(__file__).parents[1] / "office/page_faults.js").read_text("utf-8")


@pytest.fixture(scope="module")
def authority(tmp_path_factory: pytest.TempPathFactory) -> Authority:
    return open_authority(tmp_path_factory.mktemp("authority"), "sugar-loft.local")


@pytest.fixture(scope="module")
def address(authority: Authority) -> Iterator[str]:
    place = Place("sugar-loft.local", FLOOR.removesuffix("/floor/"), 8080, "192.0.2.7")
    answers = pages(authority, place)
    with first_visit_server("127.0.0.1", 0, answers) as port:
        yield f"http://127.0.0.1:{port}"


def fetch(link: str) -> tuple[bytes, Message]:
    with urllib.request.urlopen(link, timeout=10) as answer:  # noqa: S310  # our own server
        assert isinstance(answer, HTTPResponse)
        return answer.read(), answer.headers


def test_android_gets_the_root_as_a_certificate(address: str, authority: Authority) -> None:
    body, headers = fetch(f"{address}/kettleside.crt")
    assert headers["Content-Type"] == "application/x-x509-ca-cert"
    assert x509.load_der_x509_certificate(body) == authority.root


def test_an_iphone_gets_the_root_in_a_profile(address: str, authority: Authority) -> None:
    body, headers = fetch(f"{address}/kettleside.mobileconfig")
    assert headers["Content-Type"] == "application/x-apple-aspen-config"
    profile = plistlib.loads(body)
    (payload,) = profile["PayloadContent"]
    assert profile["PayloadType"] == "Configuration"
    assert payload["PayloadType"] == "com.apple.security.root"
    assert x509.load_der_x509_certificate(payload["PayloadContent"]) == authority.root
    assert fetch(f"{address}/kettleside.mobileconfig")[0] == body


def test_the_page_sets_no_cookie_and_runs_its_own_script_only(address: str) -> None:
    _, headers = fetch(f"{address}/?from=qr")
    assert headers["Set-Cookie"] is None
    policy = dict(
        part.strip().split(" ", 1) for part in headers["Content-Security-Policy"].split(";")
    )
    assert (policy["default-src"], policy["script-src"]) == ("'none'", "'self'")
    asks = "https://sugar-loft.local:8443 http://sugar-loft.local:8080"
    assert policy["connect-src"] == asks


def test_anything_else_is_not_there(address: str) -> None:
    with pytest.raises(HTTPError, match="404"):
        fetch(f"{address}/../manage.py")


@pytest.mark.parametrize("width", [320, 390])
def test_a_phone_can_read_it(
    width: int, address: str, authority: Authority, playwright: Playwright, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "profile") as context:
        page = context.new_page()
        page.set_viewport_size({"width": width, "height": 844})
        page.goto(address)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        shown = page.locator(".fingerprint").inner_text().split()
        assert ":".join(shown) == authority.fingerprint
        page.locator("#tried.wrong").wait_for()
        links = page.locator("a").evaluate_all("all => all.map(a => a.href)")
        assert set(links) == {
            FLOOR,
            f"{address}/kettleside.crt",
            f"{address}/kettleside.mobileconfig",
        }
        assert page.evaluate(FAULTS) == []
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()


def test_a_taken_port_is_named(address: str) -> None:
    port = int(address.rpartition(":")[2])
    taken = pytest.raises(PortTakenError, match=f"Port {port} can't be used")
    with taken, first_visit_server("127.0.0.1", port, {}):
        pass


def test_the_terminal_shows_the_very_squares_of_the_code() -> None:
    """Each character holds two modules, one above the other; dark ones are left blank."""
    code = segno.make(FLOOR, error="m", micro=False)
    halves = {"█": (0, 0), "▀": (0, 1), "▄": (1, 0), " ": (1, 1)}
    shown: list[list[int]] = []
    for line in terminal_qr(FLOOR).splitlines():
        for half in (0, 1):
            shown.append([halves[sign][half] for sign in line])
    wanted = [list(row) for row in code.matrix_iter(border=4)]
    assert shown[: len(wanted)] == wanted
