"""People at the desk: their roles and PINs, and who each sign-in name is."""

import json
import re

import pytest
from django.contrib.auth.models import User
from django.test import Client

from shop.plan.crew import acts, roles
from shop.store import people, pins, read
from shop.store.access import access_batch, access_person, desk_person
from shop.store.changes import changes
from shop.store.shapes import ShopInfo
from tests.office.conftest import user_of
from tests.office.test_desk import order

GONE = 404
PIN = "7351"
# What `order()` becomes.
PLANNED = "L7020D-W-0118"


def said(changes_of: ShopInfo) -> str:
    """All that stands under 'Who changed what'."""
    return json.dumps(
        [[c.about, c.what, c.before, c.after] for c in changes(changes_of.id, most=99)]
    )


def test_the_page_says_what_each_role_may_do(lead: Client) -> None:
    page = lead.get("/office/people/").content.decode()
    for role in roles():
        row = page.split(f'<th scope="row">{role.name}</th>')[1].split("</tr>")[0]
        assert [act for act, words in acts().items() if words in row] == list(role.may)


def test_somebody_gets_another_name_and_role(lead: Client, demo: ShopInfo) -> None:
    lead.post("/office/people/odo/", {"name": "Odo the tall", "role": "roller hand"})
    known = access_person(demo.id, "odo")
    assert (known.name, known.role, known.active) == ("Odo the tall", "roller hand", True)
    wrong = lead.post("/office/people/odo/", {"name": "", "role": "king"}).content.decode()
    assert "This field is required" in wrong
    assert "king is not one of the available choices" in wrong
    assert access_person(demo.id, "odo") == known


def test_a_role_of_before_stays_until_another_is_chosen(lead: Client, demo: ShopInfo) -> None:
    people.set_person(shop_id=demo.id, key="odo", name="Odo", role="dipper")
    assert '<option value="dipper" selected>' in lead.get("/office/people/odo/").content.decode()
    lead.post("/office/people/odo/", {"name": "Odo B", "role": "dipper"})
    assert access_person(demo.id, "odo").name == "Odo B"


def test_a_typed_pin_is_shown_once_and_is_in_no_record(lead: Client, demo: ShopInfo) -> None:
    answer = lead.post("/office/people/odo/pin/", {"pin": f" {PIN} "})
    assert f'<p class="figures">{PIN}</p>' in answer.content.decode()
    assert answer["Cache-Control"] == "no-store"
    assert pins.matches(pins.verifiers(demo.id)["odo"], PIN)
    page = lead.get("/office/people/odo/").content.decode()
    assert "PIN: set " in page
    for text in (page, said(demo), lead.get("/office/changes/").content.decode()):
        assert PIN not in text
        assert "pbkdf2" not in text


def test_a_drawn_pin_has_six_figures_and_a_pin_can_be_taken_away(
    lead: Client, demo: ShopInfo
) -> None:
    page = lead.post("/office/people/odo/pin/", {"pin": ""}).content.decode()
    [drawn] = re.findall(r'class="figures">([0-9]{6})<', page)
    assert pins.matches(pins.verifiers(demo.id)["odo"], drawn)
    lead.post("/office/people/odo/pin/", {"take": "1"})
    assert pins.verifiers(demo.id) == {}
    assert access_person(demo.id, "odo").pin_set is None


@pytest.mark.parametrize("bad", ["123", "1111", "1234567", "abcd"])
def test_a_bad_pin_is_refused_in_a_sentence_and_nothing_is_set(
    lead: Client, demo: ShopInfo, bad: str
) -> None:
    page = lead.post("/office/people/odo/pin/", {"pin": bad}).content.decode()
    assert "A PIN has 4 to 6 figures" in page
    assert 'class="figures"' not in page
    assert pins.verifiers(demo.id) == {}


@pytest.mark.parametrize("page", ["", "pin/", "desk/", "switch/"])
def test_nobody_of_another_name_is_there(lead: Client, page: str) -> None:
    assert lead.post(f"/office/people/nobody/{page}", {"user": "office"}).status_code == GONE


def opened(desk: Client, demo: ShopInfo) -> tuple[str, dict[str, str]]:
    """What the page says after opening a planned boil, and the event that says so, if any."""
    desk.post("/office/plan/", order())
    page = desk.post(f"/office/batch/{PLANNED}/open/", follow=True).content.decode()
    lines = read.batch_lines(access_batch(demo.id, PLANNED))
    return page, json.loads(lines[0]) if lines else {}


def test_a_desk_says_once_who_it_is_and_its_acts_are_signed(lead: Client, demo: ShopInfo) -> None:
    assert "Who are you?" in lead.get("/office/").content.decode()
    page = lead.post("/office/me/", {"person": "greta"}, follow=True).content.decode()
    assert "You are Greta" in page
    assert "Who are you?" not in page
    _, event = opened(lead, demo)
    assert (event["kind"], event["by"], event["signed"]) == ("batch_opened", "greta", "desk")
    assert lead.post("/office/me/", {"person": "nobody"}).status_code == GONE


def test_a_desk_that_said_nothing_signs_nothing(lead: Client, demo: ShopInfo) -> None:
    _, event = opened(lead, demo)
    assert (event["kind"], event["by"], "signed" in event) == ("batch_opened", "", False)


def test_who_may_not_open_a_boil_is_told_who_may(lead: Client, demo: ShopInfo) -> None:
    lead.post("/office/me/", {"person": "isolde"})
    page, event = opened(lead, demo)
    assert "Isolde is roller hand; who may open a boil: lead maker or front and packing." in page
    assert event == {}
    assert access_batch(demo.id, PLANNED).phase == "planned"


def test_only_who_may_have_the_boil_is_offered_it(lead: Client, demo: ShopInfo) -> None:
    form = lead.get("/office/plan/").content.decode().split('name="lead"')[1].split("</select>")[0]
    assert re.findall(r'<option value="(\w+)"', form) == ["greta", "maren", "odo", "tobit"]
    for key in ("greta", "maren", "odo", "tobit"):
        people.set_active(shop_id=demo.id, key=key, active=False)
    form = lead.get("/office/plan/").content.decode().split('name="lead"')[1].split("</select>")[0]
    assert re.findall(r'<option value="(\w+)"', form) == ["isolde", "pim"]


def test_a_sign_in_name_is_given_to_a_person_and_taken_again(lead: Client, demo: ShopInfo) -> None:
    other = user_of("desk-2", demo)
    assert "desk-2 is Pim" in lead.get("/office/people/pim/").content.decode()
    lead.post("/office/people/pim/desk/", {"user": "desk-2"})
    assert desk_person(demo.id, other.pk) == "pim"
    assert ">desk-2</td>" in lead.get("/office/people/").content.decode()
    not_hers = lead.post("/office/people/odo/desk/", {"user": "desk-2", "take": "1"})
    assert not_hers.status_code == GONE
    lead.post("/office/people/pim/desk/", {"user": "desk-2", "take": "1"})
    assert desk_person(demo.id, other.pk) == ""
    assert lead.post("/office/people/pim/desk/", {"user": "stranger"}).status_code == GONE


def test_a_password_is_changed_by_whoever_has_it(demo: ShopInfo) -> None:
    user_of("greta", demo)
    user = User.objects.get(username="greta")
    user.set_password("sugar-at-150")
    user.save()
    here, there = Client(), Client()
    for browser in (here, there):
        assert browser.login(username="greta", password="sugar-at-150")
    new = {"new_password1": "quince-and-balm", "new_password2": "quince-and-balm"}
    wrong = here.post("/office/password/", {"old_password": "sugar-at-149", **new})
    assert "old password was entered incorrectly" in wrong.content.decode()
    page = here.post("/office/password/", {"old_password": "sugar-at-150", **new}, follow=True)
    assert "Your password is changed." in page.content.decode()
    assert there.get("/office/")["Location"].startswith("/office/sign-in/")
    assert Client().login(username="greta", password="quince-and-balm")
    newest = changes(demo.id, most=1)[0]
    assert (newest.by, newest.about, newest.what) == ("greta", "user greta", "password")


def test_a_weak_password_is_refused(lead: Client) -> None:
    User.objects.get(username="office").set_password("x")
    new = {"new_password1": "1234567", "new_password2": "1234567"}
    page = lead.post("/office/password/", {"old_password": "x", **new}).content.decode()
    assert "too short" in page
    assert "entirely numeric" in page
