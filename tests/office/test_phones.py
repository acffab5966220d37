"""Phones as the office sees them: what they said, how they were found, locked out and replaced."""

import pytest
from django.test import Client
from django.utils.html import escape

from shop.screens.office.phones_page import DAY, HOUR, MINUTE, ago
from shop.store import phones
from shop.store.access import access_device, access_token
from shop.store.errors import LockedOut
from shop.store.shapes import Joined, ShopInfo

GONE, OK = 404, 200


@pytest.fixture
def added(demo: ShopInfo) -> Joined:
    return phones.join(code=phones.new_code(demo.id), address="office")


@pytest.mark.parametrize(
    ("passed", "words"),
    [
        (0, "just now"),
        (59_000, "just now"),
        (MINUTE, "1 min ago"),
        (HOUR - 1, "59 min ago"),
        (HOUR, "1 h ago"),
        (2 * DAY - 1, "47 h ago"),
        (2 * DAY, "2 days ago"),
    ],
)
def test_an_age_is_said_in_the_unit_people_count_in(passed: int, words: str) -> None:
    assert ago(10 * DAY, 10 * DAY + passed) == words
    assert ago(None, 0) == "never"


def test_what_a_phone_said_stands_beside_it(lead: Client, added: Joined) -> None:
    report = {"held": 3, "files": 1, "battery": 40, "charging": 0, "build": "abc", "origin": "x:1"}
    phones.take_report(access_token(added.token), report)
    page = lead.get("/office/phones/").content.decode()
    assert "3 entries, 1 photos or sounds, just now" in page
    assert "40 %" in page
    assert "x:1" in page
    assert page.count("It has not said") == 3


def test_a_phone_is_named_and_given_a_station(lead: Client, demo: ShopInfo, added: Joined) -> None:
    lead.post(f"/office/phones/{added.device}/", {"name": "Hook phone", "station": "hook"})
    known = access_device(demo.id, added.device)
    assert (known.name, known.station) == ("Hook phone", "hook")
    wrong = lead.post(f"/office/phones/{added.device}/", {"name": "x", "station": "moon"})
    assert "Select a valid choice" in wrong.content.decode()
    assert access_device(demo.id, added.device).station == "hook"


def test_a_tablet_is_hung_on_the_wall(lead: Client, demo: ShopInfo, added: Joined) -> None:
    page = lead.get(f"/office/phones/{added.device}/").content.decode()
    assert '<option value="wall">The wall: the whole crew’s next actions</option>' in page
    lead.post(f"/office/phones/{added.device}/", {"name": "Tablet", "station": "wall"})
    assert access_device(demo.id, added.device).station == "wall"


def test_a_broken_phone_asks_for_somebody_until_it_is_whole(
    lead: Client, demo: ShopInfo, added: Joined
) -> None:
    for found, wanted in (("broken", True), ("whole", False), ("wiped", False), ("missing", True)):
        lead.post(f"/office/phones/{added.device}/found/", {"found": found})
        before = lead.get("/office/phones/").content.decode().split(added.device)[0]
        assert ("trouble" in before.rpartition("<tr")[2]) is wanted
    listed = lead.get("/office/phones/breakables/").content.decode()
    assert "Missing, " in listed
    assert "4 phones" in listed
    assert next(check.found for check in phones.looked_over(demo.id)) == "missing"
    assert lead.post(f"/office/phones/{added.device}/found/", {"found": "x"}).status_code == GONE


def test_locked_out_and_let_in_again(lead: Client, added: Joined) -> None:
    lead.post(f"/office/phones/{added.device}/lock/")
    with pytest.raises(LockedOut):
        access_token(added.token)
    assert "Let it in again" in lead.get(f"/office/phones/{added.device}/").content.decode()
    lead.post(f"/office/phones/{added.device}/lock/", {"let": "in"})
    assert access_token(added.token).device == added.device


def test_another_phone_takes_its_place(lead: Client, demo: ShopInfo, added: Joined) -> None:
    page = lead.post(f"/office/phones/{added.device}/replace/").content.decode()
    assert f"In the place of {added.name}" in page
    code = page.split('class="figures">')[1][:6]
    assert escape(f"/floor/#add={code}") in page
    assert "<svg " in page
    new = phones.join(code=code, address="new")
    assert new.name == added.name
    assert "took the place of" in lead.get("/office/phones/").content.decode()


@pytest.mark.parametrize("page", ["", "replace/", "found/", "lock/"])
def test_the_server_and_strangers_are_no_phones(lead: Client, demo: ShopInfo, page: str) -> None:
    server = next(one.device for one in phones.phones(demo.id) if one.is_server)
    for device in (server, "nothing"):
        answer = lead.post(f"/office/phones/{device}/{page}", {"found": "whole", "name": "x"})
        assert answer.status_code == GONE
