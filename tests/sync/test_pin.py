"""Who pressed, and who else is there: PINs checked over the wire, and the shop's phones in use."""

import json
from typing import Any

from django.test import Client

from shop.store import people, phones
from shop.store.access import access_device
from shop.store.pins import verifiers
from tests.store.scene import Loft, add_phone, give_pin
from tests.sync.test_phone_word import say
from tests.sync.test_wire import refused

PIN, WRONG = "7351", "8264"


def company(client: Client, loft: Loft) -> list[dict[str, Any]]:
    answer = client.get(
        "/sync/company", headers={"authorization": f"Bearer {loft.kettle.token}"}
    ).json()
    assert set(answer) == {"phones", "server_time"}
    found: list[dict[str, Any]] = answer["phones"]
    return found


def test_a_pin_is_checked_and_wrong_ones_wait(loft: Loft, client: Client) -> None:
    give_pin(loft.shop.id)
    right = json.loads(say(client, loft.kettle, "pin", {"person": "tobit", "pin": PIN}).content)
    assert (right["signed"], set(right)) == ("shop", {"signed", "server_time"})
    for tries in range(1, 6):
        told = refused(say(client, loft.kettle, "pin", {"person": "tobit", "pin": WRONG}), 403)
        assert told["error"] == "wrong-pin"
        assert (f"Try {tries} of 5" if tries < 5 else "taken in 60 s") in told["say"]
    told = refused(say(client, loft.kettle, "pin", {"person": "tobit", "pin": PIN}), 429)
    assert told == {"error": "too-many-tries", "say": "5 wrong PINs in a row for Tobit. Wait 60 s."}
    # The same person signs at another phone.
    assert say(client, loft.table, "pin", {"person": "tobit", "pin": PIN}).status_code == 200


def test_what_can_not_be_checked_is_said(loft: Loft, client: Client) -> None:
    people.set_person(shop_id=loft.shop.id, key="pim", name="Pim", role="roller hand")
    for message, status, code in (
        ({"person": "nobody", "pin": PIN}, 404, "not-here"),
        ({"person": "pim", "pin": PIN}, 403, "wrong-pin"),
        ({"person": "pim"}, 400, "shape"),
        ({"person": "pim", "pin": 7351}, 400, "shape"),
        ({"person": "p\0m", "pin": PIN}, 400, "text"),
    ):
        told = refused(say(client, loft.kettle, "pin", message), status)
        assert told["error"] == code


def test_a_phone_is_told_whom_it_may_check_and_by_what(loft: Loft, client: Client) -> None:
    give_pin(loft.shop.id)
    people.set_person(shop_id=loft.shop.id, key="pim", name="Pim", role="roller hand")
    people.set_person(shop_id=loft.shop.id, key="ode", name="Ode", role="-", active=False)
    told = json.loads(say(client, loft.kettle, "phone", {}).content)["people"]
    assert told == [
        {"id": "pim", "name": "Pim", "role": "roller hand", "pin": ""},
        {"id": "tobit", "name": "Tobit", "role": "second hand", "pin": told[1]["pin"]},
    ]
    assert told[1]["pin"] == verifiers(loft.shop.id)["tobit"] != ""


def test_a_pull_tells_no_verifier(loft: Loft, client: Client) -> None:
    """A pull is kept on the phone with the boils; what PINs are checked by is told apart."""
    give_pin(loft.shop.id)
    given = {"authorization": f"Bearer {loft.kettle.token}"}
    assert b"pbkdf2" not in client.get("/sync/pull?after=0", headers=given).content


def test_each_phone_in_use_says_where_it_stands_and_who_presses(loft: Loft, client: Client) -> None:
    shop, table_phone = loft.shop.id, loft.table.device
    phones.rename(shop_id=shop, device=table_phone, name="Hook phone", station="hook")
    lost = add_phone(loft.shop)
    phones.lock_out(shop_id=shop, device=lost.device)
    where = {"station": "kettle", "batch": "b1", "by": "maren"}
    say(client, loft.kettle, "phone", {"held": 0, **where})
    kettle, table = company(client, loft)
    known = access_device(shop, loft.kettle.device)
    assert kettle == {"device": known.device, "name": "Phone 1", **where, "heard": known.seen}
    assert known.seen is not None
    # One of before, which does not say where it is, stands where the office says.
    usual = {"station": "hook", "batch": "", "by": "", "heard": table["heard"]}
    assert table == {"device": table_phone, "name": "Hook phone", **usual}
    say(client, loft.kettle, "phone", {"station": "", "batch": "", "by": ""})
    assert company(client, loft)[0]["station"] == ""
