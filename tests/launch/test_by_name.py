"""A phone that asks by a bare number is sent to the name; a proxy's word on who asks is taken."""

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import Client
from pytest_django.fixtures import Settings

from shop.launch.by_name import is_number
from shop.launch.proxy import behind_proxy

HOME = "https://sugar-loft.local:8443"


@pytest.mark.parametrize(
    ("host", "number"),
    [
        ("192.0.2.7", True),
        ("192.0.2.7:8443", True),
        ("[2001:db8::1]:8443", True),
        ("127.0.0.1:8000", False),
        ("[::1]", False),
        ("sugar-loft.local:8443", False),
        ("", False),
    ],
)
def test_a_number_is_told_from_a_name_and_from_this_computer(host: str, number: bool) -> None:
    assert is_number(host) is number


@pytest.mark.parametrize("path", ["/floor/", "/office/", "/floor/sw.js", "/static/js/boot.js"])
def test_every_page_asked_by_number_says_the_name(
    client: Client, settings: Settings, path: str
) -> None:
    settings.HOME = HOME
    answer = client.get(path, headers={"host": "192.0.2.7:8443"})
    assert answer.status_code == 421
    assert f'href="{HOME}/floor/"' in answer.content.decode()


def test_the_wire_says_it_in_its_own_shape(client: Client, settings: Settings) -> None:
    settings.HOME = HOME
    answer = client.post("/sync/join", "{}", "application/json", headers={"host": "192.0.2.7"})
    assert (answer.status_code, answer.json()["error"]) == (421, "by-number")
    assert f"{HOME}/floor/" in answer.json()["say"]


@pytest.mark.parametrize(
    ("claimed", "seen"),
    [("203.0.113.9, 10.0.0.4", "10.0.0.4"), ("10.0.0.4", "10.0.0.4"), ("", "127.0.0.1")],
)
def test_who_asks_is_whom_our_own_proxy_saw(claimed: str, seen: str) -> None:
    request = HttpRequest()
    request.META = {"REMOTE_ADDR": "127.0.0.1", "HTTP_X_FORWARDED_FOR": claimed}
    behind_proxy(lambda _: HttpResponse())(request)
    assert request.META["REMOTE_ADDR"] == seen
