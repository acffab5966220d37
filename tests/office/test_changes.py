"""Every act of the office that changes something says who, when, from what, to what."""

from collections.abc import Callable

import pytest
from django.test import Client

from shop.store import phones
from shop.store.changes import changes
from shop.store.shapes import ShopInfo
from tests.office.conftest import user_of

SITE = {"name": "The loft", "site_address": "1 Nowhere", "emergency_number": "112"}


def device_of(demo: ShopInfo) -> str:
    return next(one.device for one in phones.phones(demo.id) if one.name == "Kettle phone")


Act = Callable[[Client, ShopInfo], object]
ACTS: dict[str, tuple[Act, tuple[str, str, str]]] = {
    "a number": (
        lambda desk, _: desk.post("/office/numbers/", {"id": "strokes", "value": "90"}),
        ("strokes", "", "90 1"),
    ),
    "the site": (
        lambda desk, _: desk.post("/office/site/", {**SITE, "nearest_tap": "By the door"}),
        ("the site", "Left of the cooling table", "By the door"),
    ),
    "somebody new": (
        lambda desk, _: desk.post("/office/people/", {"name": "Ode", "role": "second hand"}),
        ("person Ode", "", "second hand"),
    ),
    "somebody off the phones": (
        lambda desk, _: desk.post("/office/people/maren/switch/"),
        ("person Maren", "True", "False"),
    ),
    "somebody's role": (
        lambda desk, _: desk.post("/office/people/odo/", {"name": "Odo", "role": "lead maker"}),
        ("person Odo", "second hand", "lead maker"),
    ),
    "a PIN": (
        lambda desk, _: desk.post("/office/people/odo/pin/", {"pin": "7351"}),
        ("person Odo", "none", "set"),
    ),
    "who somebody at the desk is": (
        lambda desk, _: desk.post("/office/people/odo/desk/", {"user": "greta"}),
        ("user greta", "", "Odo"),
    ),
    "a phone's name": (
        lambda desk, demo: desk.post(
            f"/office/phones/{device_of(demo)}/", {"name": "Pan phone", "station": "kettle"}
        ),
        ("Kettle phone", "Kettle phone", "Pan phone"),
    ),
    "a phone locked out": (
        lambda desk, demo: desk.post(f"/office/phones/{device_of(demo)}/lock/"),
        ("phone Kettle phone", "", "1"),
    ),
    "a desk": (
        lambda desk, demo: desk.post(f"/office/shops/{demo.slug}/desk/", {"user": "pim"}),
        ("user pim", "may not", "may"),
    ),
}


@pytest.mark.parametrize("act", ACTS)
def test_an_act_is_kept_with_who_and_from_what_to_what(
    client: Client, demo: ShopInfo, act: str
) -> None:
    client.force_login(user_of("greta", demo, runs_the_company=True))
    before = len(changes(demo.id, most=1000))
    do, (about, was, now) = ACTS[act]
    do(client, demo)
    new = changes(demo.id, most=1000)[: len(changes(demo.id, most=1000)) - before]
    assert {change.by for change in new} == {"greta"}
    assert [c for c in new if about in c.about and was in c.before and now in c.after], new


def test_what_stays_as_it_was_is_no_change(lead: Client, demo: ShopInfo) -> None:
    for _ in range(2):
        lead.post("/office/site/", {**SITE, "nearest_tap": "By the door"})
    assert [c.after for c in changes(demo.id, most=50)].count("By the door") == 1


def test_the_page_says_it_in_peoples_units(lead: Client, demo: ShopInfo) -> None:
    for value in ("150", "148,5"):
        lead.post("/office/numbers/", {"id": "take_off_sea_level", "value": value})
    lead.post(f"/office/phones/{device_of(demo)}/lock/")
    page = lead.get("/office/changes/").content.decode()
    assert "<td>150.0 °C</td><td>148.5 °C</td>" in page
    assert "locked out" in page
    assert "Kettle phone" in page
