"""Somebody from outside, at every address of the office: what is there stays unseen and unchanged.

The addresses are the program's own: a new one without a line in `asks` fails. Each POST is one
that changes something when the shop's own desk sends it, so that a refusal is one.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import transaction
from django.test import Client
from django.urls import URLPattern

from shop.screens.office.urls import urlpatterns
from shop.store import phones
from shop.store.backup import is_embedded
from shop.store.shapes import ShopInfo
from shop.store.shops import say_who, take_desk
from tests.office.asks import (
    COMPANY,
    NOT_OF_A_SHOP,
    OPEN_TO_ALL,
    OWN,
    SECRET,
    Ask,
    Scene,
    asks,
    set_up,
)
from tests.office.conftest import user_of
from tests.store.kept import kept

OK, FOUND, FORBIDDEN, GONE, NOT_SO = 200, 302, 403, 404, 405
SIGN_IN = "/office/sign-in/"
SECRETS = (SECRET, "Beehive", "Isolde")
PASSWORD = "quince-and-balm"


@pytest.fixture
def scene(demo: ShopInfo, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Scene:
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))
    made = set_up(demo)
    user = user_of("company", demo, made.second, runs_the_company=True)
    say_who(shop_id=demo.id, user="company", person="maren")
    user.set_password(PASSWORD)
    user.save()
    return made


def every(scene: Scene) -> Iterator[tuple[str, Ask]]:
    yield from asks(scene).items()


def answers(client: Client, address: str, ask: Ask) -> Iterator[Any]:
    """To a GET and to the POST that would change something; neither tells anything of the shop."""
    for answer in (client.get(address), client.post(address, ask.data or {})):
        said = answer.content.decode(errors="replace")
        assert not [secret for secret in SECRETS if secret in said], address
        yield answer


def test_every_address_of_the_office_is_asked_here(scene: Scene) -> None:
    names = {str(pattern.name) for pattern in urlpatterns if isinstance(pattern, URLPattern)}
    assert names == set(asks(scene)) | OPEN_TO_ALL


def test_the_own_desk_is_answered_everywhere_and_its_posts_change_something(scene: Scene) -> None:
    """The control: what is refused below is done here, but that an embedded store has one shop."""
    desk, said = Client(), b""
    desk.force_login(User.objects.get(username="company"))
    for name, ask in every(scene):
        address = ask.address(name) if name in {*COMPANY, OWN} else f"/at/demo{ask.address(name)}"
        before = kept()
        with transaction.atomic():
            shown = desk.get(address)
            assert shown.status_code in (OK, NOT_SO), name
            # To its end: until then a file is open.
            said += b"".join(shown)
            if ask.data is not None:
                assert desk.post(address, ask.data).status_code in (OK, FOUND), name
                assert (kept() == before) is (name == "office-shops" and is_embedded()), name
            transaction.set_rollback(True)
    assert [secret for secret in SECRETS if secret.encode() not in said] == []


@pytest.mark.parametrize(
    "who", ["signed out", "a phone", "a locked-out phone", "a made-up session"]
)
def test_who_is_not_signed_in_is_sent_to_the_sign_in(scene: Scene, who: str) -> None:
    client = Client()
    if "phone" in who:
        client = Client(headers={"authorization": f"Bearer {scene.token}"})
    if who == "a locked-out phone":
        phones.lock_out(shop_id=scene.demo.id, device=scene.device)
    if who == "a made-up session":
        client.cookies["sessionid"] = "0123456789abcdefghijklmnopqrstuv"
    before = kept()
    for name, ask in every(scene):
        for address in (ask.address(name), f"/at/demo{ask.address(name)}"):
            for answer in answers(client, address, ask):
                assert answer.status_code == FOUND, address
                assert answer["Location"].startswith(SIGN_IN), address
        assert kept() == before, name


@pytest.mark.parametrize("who", ["one who never had a desk", "one whose desk was taken away"])
def test_who_has_no_desk_sees_no_shop(scene: Scene, who: str) -> None:
    user, client = user_of("nobody", *([scene.demo] if "taken" in who else [])), Client()
    client.force_login(user)
    if "taken" in who:
        assert client.get("/office/").status_code == OK
        take_desk(shop_id=scene.demo.id, user_id=user.pk)
    before = kept()
    for name, ask in every(scene):
        for answer in answers(client, ask.address(name), ask):
            assert answer.status_code == refused_at(name, FORBIDDEN), name
        assert kept() == before, name


def refused_at(name: str, otherwise: int) -> int:
    """The list of one's own shops is empty, the own password is one's own; desks are given by the
    company alone, which sends others to the sign-in."""
    return {"office-shops": OK, OWN: OK, "office-desk": FOUND}.get(name, otherwise)


def test_a_desk_of_another_shop_finds_nothing_of_this_one(scene: Scene) -> None:
    """Under the shop's name, and under its own with what it may have read over a shoulder."""
    client = Client()
    client.force_login(user_of("neighbour", scene.second))
    before = kept()
    for name, ask in every(scene):
        for answer in answers(client, f"/at/demo{ask.address(name)}", ask):
            assert answer.status_code == refused_at(name, GONE), name
        if ask.names and name not in {*NOT_OF_A_SHOP, *COMPANY}:
            other = {"other": "demo"} if "other" in ask.names else ask.names
            for answer in answers(client, Ask(other).address(name), ask):
                assert answer.status_code in (GONE, NOT_SO), name
        assert kept() == before, name


def signed_in(client: Client) -> str:
    """Signs in as people do, and returns the token the sign-in page had."""
    client.get(SIGN_IN)
    old = client.cookies["csrftoken"].value
    given = {"username": "company", "password": PASSWORD, "csrfmiddlewaretoken": old}
    assert client.post(SIGN_IN, given).status_code == FOUND
    return str(old)


def test_a_post_from_elsewhere_or_of_before_is_refused(scene: Scene) -> None:
    """Without a token, with one from before the sign-in, and with another browser's."""
    desk, other = Client(enforce_csrf_checks=True), Client(enforce_csrf_checks=True)
    old = signed_in(desk)
    signed_in(other)
    tokens: tuple[dict[str, str], ...] = (
        {},
        {"csrfmiddlewaretoken": old},
        {"csrfmiddlewaretoken": of(other)},
    )
    before = kept()
    for name, ask in every(scene):
        for token in tokens:
            answer = desk.post(at_demo(name, ask), {**(ask.data or {}), **token})
            assert answer.status_code == FORBIDDEN, (name, token)
        assert kept() == before, name
    # The same with its own token is done.
    name, ask = "office-me", asks(scene)["office-me"]
    desk.post(at_demo(name, ask), {**(ask.data or {}), "csrfmiddlewaretoken": of(desk)})
    assert kept() != before


def of(client: Client) -> str:
    return str(client.cookies["csrftoken"].value)


def at_demo(name: str, ask: Ask) -> str:
    return ask.address(name) if name in COMPANY else f"/at/demo{ask.address(name)}"


def test_a_post_is_not_done_again_after_signing_out(scene: Scene) -> None:
    """As kept by a proxy or a stranger's browser: with its token, and with its session's name."""
    desk, replayed = Client(enforce_csrf_checks=True), Client(enforce_csrf_checks=True)
    signed_in(desk)
    token = {"csrfmiddlewaretoken": of(desk)}
    replayed.cookies.update(desk.cookies)
    desk.post("/office/sign-out/", token)
    before = kept()
    for name, ask in every(scene):
        answer = replayed.post(at_demo(name, ask), {**(ask.data or {}), **token})
        assert answer.status_code == FOUND, name
        assert answer["Location"].startswith(SIGN_IN), name
        assert kept() == before, name
