"""What a phone says of itself, what the office answers, and the way to a new address."""

import json
from typing import Any, cast

import pytest
from django.http import HttpResponse
from django.test import Client
from pytest_django.fixtures import Settings

from shop.store import phones
from shop.store.access import access_device, access_token
from shop.store.errors import LockedOut
from tests.store.scene import Loft, Phone
from tests.sync.test_wire import JSON, chain, push, refused

OLD, NEW = "old.local", "https://new.local:8443"


@pytest.fixture
def moved(settings: Settings) -> None:
    """The shop has a new address and still answers under the old one."""
    settings.OLD_NAMES, settings.HOME = [OLD], NEW
    settings.ALLOWED_HOSTS = [*settings.ALLOWED_HOSTS, OLD, "new.local"]


def say(client: Client, phone: Phone, path: str, content: Any, host: str = "") -> HttpResponse:
    given = {"authorization": f"Bearer {phone.token}", **({"host": host} if host else {})}
    body = json.dumps(content)
    answer = client.post(f"/sync/{path}", body, content_type=JSON, headers=given)
    return cast(HttpResponse, answer)


def test_a_phone_says_how_it_is_and_hears_its_name_and_station(loft: Loft, client: Client) -> None:
    phones.rename(
        shop_id=loft.shop.id, device=loft.kettle.device, name="Kettle phone", station="kettle"
    )
    word = {"app": 1, "build": "abc", "held": 3, "files": 1, "battery": 85, "charging": 0}
    heard = json.loads(say(client, loft.kettle, "phone", {**word, "installed": 1}).content)
    assert (heard["name"], heard["station"], heard["moved"]) == ("Kettle phone", "kettle", "")
    known = access_device(loft.shop.id, loft.kettle.device)
    assert known.report == {**word, "installed": 1, "origin": "testserver"}
    assert known.reported is not None
    assert known.seen == known.reported
    say(client, loft.kettle, "phone", {"app": 1, "battery": None})
    assert "battery" not in access_device(loft.shop.id, loft.kettle.device).report


MANY = [f"try{chr(97 + n)}" for n in range(21)]


def test_a_phone_says_how_it_was_tried(loft: Loft, client: Client) -> None:
    tried = {"at": 7, "build": "abc", "system": "apple", "ends": {"ring": "works"}}
    say(client, loft.kettle, "phone", {"app": 1, "tried": tried})
    assert access_device(loft.shop.id, loft.kettle.device).report["tried"] == tried
    say(client, loft.kettle, "phone", {"app": 1, "tried": None})
    assert "tried" not in access_device(loft.shop.id, loft.kettle.device).report


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"held": -1}, "`held` is -1; it must be a whole number from 0"),
        ({"held": "3"}, '`held` is "3"'),
        ({"battery": 101}, "from 0 to 100"),
        ({"battery": True}, "`battery` is true"),
        ({"build": 7}, "`build` is 7"),
        ({"tried": 1}, "`tried` is 1; it must be an object with `ends`"),
        ({"tried": {"at": 1}}, "an object with `ends`"),
        ({"tried": {"at": True, "ends": {}}}, "`at` is true"),
        ({"tried": {"at": 1, "ends": {"A b": "works"}}}, "named by 1 to 12 of a-z"),
        ({"tried": {"at": 1, "ends": dict.fromkeys(MANY, "works")}}, "at most 20 tries"),
        ({"tried": {"at": 1, "ends": {"ring": "maybe"}}}, 'A try ended "maybe"'),
        ({"tried": {"at": 1, "ends": {"ring": ["works"]}}}, "A try ended"),
        ({"tried": {"at": 1, "ends": {}, "system": 5}}, "`system` is 5"),
    ],
)
def test_a_word_that_can_not_be_is_refused_and_changes_nothing(
    loft: Loft, client: Client, wrong: dict[str, Any], said: str
) -> None:
    say(client, loft.kettle, "phone", {"held": 2})
    answer = refused(say(client, loft.kettle, "phone", {"held": 1, **wrong}), 400)
    assert said in answer["say"]
    assert access_device(loft.shop.id, loft.kettle.device).report["held"] == 2


@pytest.mark.usefixtures("moved")
def test_a_phone_leaves_its_old_address_only_when_all_it_made_is_here(
    loft: Loft, client: Client
) -> None:
    lines = loft.kettle.presses(2)
    push(client, loft.kettle, chain(loft.kettle, lines))
    assert json.loads(say(client, loft.kettle, "phone", {}, OLD).content)["moved"] == NEW
    told = refused(say(client, loft.kettle, "move", {"made": 3}, OLD), 409)
    assert told == {
        "error": "still-holds",
        "say": "This phone made 3 entries and 2 are here. Let it send the rest first.",
    }
    way = json.loads(say(client, loft.kettle, "move", {"made": 2}, OLD).content)
    assert way["to"] == NEW
    joined = phones.join(code=way["code"], address="new")
    old = access_device(loft.shop.id, loft.kettle.device)
    new = access_device(loft.shop.id, joined.device)
    assert (new.name, new.replaces, new.entries) == (old.name, old.name, 0)
    with pytest.raises(LockedOut):
        access_token(loft.kettle.token)


@pytest.mark.usefixtures("moved")
def test_at_the_new_address_there_is_nowhere_to_move_to(loft: Loft, client: Client) -> None:
    assert json.loads(say(client, loft.kettle, "phone", {}, "new.local").content)["moved"] == ""
    assert refused(say(client, loft.kettle, "move", {"made": 0}), 400)["error"] == "not-moved"


def test_a_phone_in_anothers_place_takes_its_name_and_locks_it_out(loft: Loft) -> None:
    device = loft.kettle.device
    phones.rename(shop_id=loft.shop.id, device=device, name="Kettle phone", station="kettle")
    code = phones.new_code(loft.shop.id, replaces=device)
    access_token(loft.kettle.token)
    joined = phones.join(code=code, address="shop")
    new = access_device(loft.shop.id, joined.device)
    assert (joined.name, new.name, new.station) == ("Kettle phone", "Kettle phone", "kettle")
    with pytest.raises(LockedOut):
        access_token(loft.kettle.token)
    phones.let_in(shop_id=loft.shop.id, device=device)
    assert access_token(loft.kettle.token).device == device
