"""Somebody from outside, at every address of the wire and with every kind of event.

Addresses and kinds are taken from the program's own tables: a new one without a rule here fails.
"""

import json
from typing import Any, cast

import pytest
from django.contrib.auth import get_user_model
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern

from shop.record.kinds import ALL_SHAPES
from shop.store import phones, read, shops
from shop.store.access import access_batch
from shop.sync.urls import urlpatterns
from tests.store.kept import kept
from tests.store.scene import Loft, a_photo, give_pin, keep_photo
from tests.sync.test_wire import JSON, chain, push

# Address → what a phone of its own shop says there.
ASKS: dict[str, tuple[str, Any]] = {
    "push": ("POST", {"app": 1, "chains": []}),
    "pull": ("GET", None),
    "phone": ("POST", {"app": 1, "held": 9}),
    "pin": ("POST", {"person": "tobit", "pin": "7351"}),
    "company": ("GET", None),
    "incident": (
        "POST",
        {"id": "a" * 32, "kind": "injury", "happened": 1_795_000_000_000, "text": "Hand on iron"},
    ),
    "move": ("POST", {"made": 0}),
    "sheet": ("GET", None),
    "file": ("GET", None),
    "batch": ("GET", None),
}
# Anybody may ask these: a code is what is checked, or nothing is there.
OPEN_TO_ALL = {"join", "nowhere"}
# One value of each form that a body's field may have; a new form without one fails.
PERSON = {"id": "maren", "name": "Maren", "role": "lead maker"}
VALUES = {"int": 1, "text": "x", "texts": ["x"], "people": [PERSON]}
REFUSED = {"no token": 401, "forged": 401, "locked out": 403, "office": 401, "guessed": 401}


@pytest.fixture
def held(loft: Loft, monkeypatch: pytest.MonkeyPatch, tmp_path: Any) -> dict[str, str]:
    """What there is to be had in the loft, by address."""
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))
    give_pin(loft.shop.id)
    photo = keep_photo(loft.kettle.caller, a_photo())
    return {"sheet": access_batch(loft.shop.id, "b1").sheet, "file": photo, "batch": "b1"}


def ask(client: Client, name: str, what: str, token: str | None) -> HttpResponse:
    method, message = ASKS[name]
    headers = {"authorization": f"Bearer {token}"} if token else {}
    path = f"/sync/{name}/{what}" if what else f"/sync/{name}"
    if method == "GET":
        return cast(HttpResponse, client.get(f"{path}?after=0", headers=headers))
    body = json.dumps(message)
    return cast(HttpResponse, client.post(path, body, content_type=JSON, headers=headers))


def test_every_address_has_a_rule_here() -> None:
    names = {str(pattern.name) for pattern in urlpatterns if isinstance(pattern, URLPattern)}
    assert names == set(ASKS) | OPEN_TO_ALL


@pytest.mark.parametrize("name", ASKS)
def test_a_phone_of_the_shop_is_answered(
    loft: Loft, client: Client, held: dict[str, str], name: str
) -> None:
    """The control: what is refused below is what is answered here."""
    answer = ask(client, name, held.get(name, ""), loft.kettle.token)
    # The shop has one address: there is nowhere to move to.
    assert answer.status_code == (400 if name == "move" else 200), answer.content


def outsider_token(who: str, client: Client, loft: Loft) -> str | None:
    """The token this outsider comes with, if any."""
    if who == "office":
        user = get_user_model().objects.create_user("greta", is_staff=True, is_superuser=True)
        shops.give_desk(shop_id=loft.shop.id, user_id=user.pk)
        client.force_login(user)
    if who == "locked out":
        phones.lock_out(shop_id=loft.shop.id, device=loft.kettle.device)
    tokens = {
        "forged": loft.kettle.token[:-1] + ("A" if loft.kettle.token[-1] != "A" else "B"),
        "locked out": loft.kettle.token,
        "guessed": loft.kettle.device,
    }
    return tokens.get(who)


@pytest.mark.parametrize("who", REFUSED)
@pytest.mark.parametrize("name", ASKS)
def test_who_has_no_good_token_gets_nothing_and_changes_nothing(
    loft: Loft, client: Client, held: dict[str, str], name: str, who: str
) -> None:
    token = outsider_token(who, client, loft)
    before = kept()
    answer = ask(client, name, held.get(name, ""), token)
    assert answer.status_code == REFUSED[who], answer.content
    assert set(json.loads(answer.content)) == {"error", "say"}
    assert kept() == before


@pytest.mark.parametrize("name", ["sheet", "file", "batch"])
def test_a_phone_of_another_shop_finds_nothing_of_this_one(
    loft: Loft, outsider: Loft, client: Client, held: dict[str, str], name: str
) -> None:
    own = ask(client, name, held[name], loft.kettle.token)
    assert own.status_code == 200
    theirs = ask(client, name, held[name], outsider.kettle.token)
    # Both shops have a batch and a sheet of these names: they are given their own. A file is one's.
    assert theirs.status_code == (404 if name == "file" else 200)
    assert loft.kettle.device.encode() not in theirs.content


@pytest.mark.parametrize("name", sorted(set(ASKS) - {"sheet", "file", "batch"}))
def test_what_another_shops_phone_does_stays_in_its_shop(
    loft: Loft, outsider: Loft, client: Client, name: str
) -> None:
    loft.kettle.press("note_written", {"text": "secret of the loft"})
    loft.kettle.push()
    give_pin(loft.shop.id)
    before = kept(loft.shop.id)
    answer = ask(client, name, "", outsider.kettle.token)
    for secret in ("secret", "tobit", "pbkdf2", loft.kettle.device):
        assert secret.encode() not in answer.content.replace(b"There is no person 'tobit'", b"")
    assert kept(loft.shop.id) == before


def body_of(kind: str) -> dict[str, Any]:
    """A body that has every field of this kind."""
    return {name: VALUES[form.rstrip("?")] for name, form in ALL_SHAPES[kind].items()}


@pytest.mark.parametrize("kind", ALL_SHAPES)
def test_no_kind_of_event_reaches_another_shop(
    loft: Loft, outsider: Loft, client: Client, kind: str
) -> None:
    """In its own name into their batch, in their phone's name, and as the server itself."""
    phones.rename(shop_id=loft.shop.id, device=loft.kettle.device, name="Kettle phone")
    server = next(one for one in phones.phones(loft.shop.id) if one.is_server)
    before = kept(loft.shop.id)
    line = outsider.kettle.press(kind, body_of(kind), signed="desk", **{"for": "maren"})
    for device in (outsider.kettle.device, loft.table.device, server.device):
        named = line.replace(outsider.kettle.device, device)
        given = {"app": 1, "chains": [{"device": device, "from_seq": 1, "lines": [named]}]}
        push(client, outsider.kettle, given)
    assert kept(loft.shop.id) == before


@pytest.mark.parametrize("kind", ALL_SHAPES)
def test_no_kind_of_event_of_a_locked_out_phone_is_taken_nor_one_said_again(
    loft: Loft, client: Client, kind: str
) -> None:
    line = loft.kettle.press(kind, body_of(kind))
    phones.lock_out(shop_id=loft.shop.id, device=loft.kettle.device)
    head, before = read.head(loft.shop.id), kept()
    assert push(client, loft.kettle, chain(loft.kettle, [line])).status_code == 403
    assert kept() == before
    phones.let_in(shop_id=loft.shop.id, device=loft.kettle.device)
    for _ in range(2):
        push(client, loft.kettle, chain(loft.kettle, [line]))
    assert read.head(loft.shop.id) - head + len(read.asides(loft.shop.id)) == 1
