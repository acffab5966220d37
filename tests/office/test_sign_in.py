"""Guessing the desk's password: five a minute from one address, thirty from all together."""

from collections.abc import Iterator

import pytest
from django.contrib.auth import get_user_model
from django.test import Client

from shop.screens.office import sign_in
from shop.store.clock import now_ms
from shop.store.tries import FROM_ONE, TOGETHER, Tries

AGAIN, SLOWLY, IN = 200, 429, 302


@pytest.fixture(autouse=True)
def fresh(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(sign_in, "wrong_passwords", Tries())
    yield


@pytest.fixture
def user(db: None) -> str:
    get_user_model().objects.create_user("greta", password="quince-and-balm")
    return "greta"


def tried(user: str, password: str, address: str) -> int:
    form = {"username": user, "password": password}
    answer = Client().post("/office/sign-in/", form, REMOTE_ADDR=address)
    return answer.status_code


def test_after_five_wrong_ones_an_address_waits_the_right_one_too(user: str) -> None:
    assert [tried(user, f"wrong {n}", "10.0.0.9") for n in range(FROM_ONE)] == [AGAIN] * FROM_ONE
    assert tried(user, "quince-and-balm", "10.0.0.9") == SLOWLY
    assert tried(user, "quince-and-balm", "10.0.0.8") == IN


def test_many_addresses_together_are_slowed_too(user: str) -> None:
    for n in range(TOGETHER):
        assert tried(user, f"wrong {n}", f"10.0.1.{n}") == AGAIN
    assert tried(user, "wrong", "10.0.2.1") == SLOWLY


def test_it_says_how_long_and_the_wait_ends(user: str, monkeypatch: pytest.MonkeyPatch) -> None:
    for n in range(FROM_ONE):
        tried(user, f"wrong {n}", "10.0.0.9")
    form = {"username": user, "password": "quince-and-balm"}
    answer = Client().post("/office/sign-in/", form, REMOTE_ADDR="10.0.0.9")
    assert "Wait" in answer.content.decode()
    later = now_ms() + 61_000
    monkeypatch.setattr(sign_in, "now_ms", lambda: later)
    assert tried(user, "quince-and-balm", "10.0.0.9") == IN
