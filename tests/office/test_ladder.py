"""The training ladder at the desk: signed by who may, struck, offered from the floor."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client

from shop.demo.scenario import ALL_SKILLS, PEOPLE
from shop.store import phones, read, skills
from shop.store.access import access_token
from shop.store.append import append_chains
from shop.store.batches import batches
from shop.store.shapes import Chain, ShopInfo
from shop.store.shops import say_who
from tests.office.conftest import user_of
from tests.office.test_desk import order
from tests.store.scene import Phone

ODO, GONE = "/office/people/odo/ladder/", 404
TODAY = datetime.now(UTC).date().isoformat()


@pytest.fixture
def maren(demo: ShopInfo, lead: Client) -> Client:
    """The lead maker, who has said who she is."""
    say_who(shop_id=demo.id, user="office", person="maren")
    return lead


def told(rung: str = "assist", **more: object) -> dict[str, object]:
    return {"skill": ["pull", "spin"], "rung": rung, "day": TODAY, "key": "a", "note": "", **more}


def standing(shop: ShopInfo, skill: str = "pull") -> tuple[int, int, int]:
    found = next(one for one in skills.standings(shop.id, "odo") if one.skill == skill)
    return found.watch, found.assist, found.solo


def test_the_page_says_what_it_is_and_where_the_law_is(maren: Client) -> None:
    """The rungs: common practice, no source. The first six months: HSE, 'New to the job'
    (hse.gov.uk/vulnerable-workers/new-to-the-job.htm)."""
    page = maren.get(ODO).content.decode()
    assert "They are no proof of competence" in page
    assert "for your local authority to say" in page
    assert "HSE, ‘New to the job’: somebody is as likely to have an accident in the first" in page
    assert page.count('<th scope="row">') >= len(ALL_SKILLS)
    assert "Adults only; the guard is tested first." in page
    assert f'href="{ODO}"' in maren.get("/office/people/").content.decode()
    assert maren.get("/office/people/nobody/ladder/").status_code == GONE


def test_people_says_where_somebody_was_away_too_long(maren: Client, demo: ShopInfo) -> None:
    """60 days: common practice, no source."""
    assert "watch again" not in maren.get("/office/people/").content.decode()
    long_ago = (datetime.now(UTC) - timedelta(days=70)).date().isoformat()
    for n in range(2):
        maren.post(ODO, told(key=str(n), rung="solo", skill=["squares"], day=long_ago))
    assert "1 to watch again" in maren.get("/office/people/").content.decode()
    # Signed for noon of that day.
    assert re.search(r"watch again: (69|70) days away", maren.get(ODO).content.decode())


def test_several_skills_are_signed_at_once_and_once(maren: Client, demo: ShopInfo) -> None:
    before = standing(demo)
    for _ in range(2):
        maren.post(ODO, told())
    assert standing(demo) == (before[0], before[1] + 1, before[2])
    maren.post(ODO, told(key="b", rung="solo", note="Steady"))
    page = maren.get(ODO).content.decode()
    assert "Maren" in page
    assert "Steady" in page
    assert standing(demo, "spin")[2] == 1


def test_a_day_to_come_and_a_skill_nobody_knows_are_refused(maren: Client, demo: ShopInfo) -> None:
    before = standing(demo)
    tomorrow = (datetime.now(UTC) + timedelta(days=2)).date().isoformat()
    assert "is yet to come" in maren.post(ODO, told(day=tomorrow)).content.decode()
    assert "Select a valid choice" in maren.post(ODO, told(skill=["x"])).content.decode()
    assert standing(demo) == before


def test_whoever_has_not_said_who_they_are_or_may_not_sign_does_not(
    lead: Client, demo: ShopInfo
) -> None:
    before = standing(demo)
    assert "at this desk sits nobody" in lead.post(ODO, told()).content.decode()
    assert "Who are you?" in lead.get(ODO).content.decode()
    say_who(shop_id=demo.id, user="office", person="tobit")
    assert "at this desk sits Tobit, second hand" in lead.post(ODO, told()).content.decode()
    assert standing(demo) == before


def test_a_wrong_note_is_struck_and_stays_to_be_seen(maren: Client, demo: ShopInfo) -> None:
    maren.post(ODO, told(skill=["pull"]))
    note = skills.noted(demo.id, "odo")[0]
    maren.post(f"{ODO}strike/", {"note": note.key, "why": "It was Tobit"})
    page = maren.get(ODO).content.decode()
    assert "struck through" in page
    assert "It was Tobit" in page
    assert skills.noted(demo.id, "odo")[1].struck
    assert maren.post(f"{ODO}strike/", {"note": "nothing"}).status_code == GONE


def beside(shop: ShopInfo) -> str:
    """Odo pulls at a boil while Maren stands beside; the boil."""
    joined = phones.join(code=phones.new_code(shop.id), address="floor")
    phone = Phone(joined.device, joined.token, access_token(joined.token))
    batch = next(one.key for one in batches(shop.id) if one.phase == "open")
    body = {"skill": "pull", "who": "maren"}
    line = phone.press("stands_beside", body, by="odo", batch=batch, station="hook")
    chains = [Chain(phone.device, 1, (line,))]
    append_chains(shop_id=shop.id, carrier_id=phone.caller.device_id, chains=chains)
    return batch


def test_the_demos_floor_saw_odo_spin_and_the_next_sheet_takes_what_stands(
    maren: Client, demo: ShopInfo
) -> None:
    page = maren.get(ODO).content.decode()
    assert "Spinning: Odo, and Maren stood beside. 25 Nov 2026, boil A, lot L6329A." in page
    wanted = {person.id: set(person.solo or ()) for person in PEOPLE}
    alone = skills.all_solo(demo.id) or {}
    assert {one: set(alone[one]) for one in wanted} == wanted


def test_a_sheet_is_frozen_with_what_each_does_alone_on_that_day(
    maren: Client, demo: ShopInfo
) -> None:
    for n in range(2):
        maren.post(ODO, told(key=str(n), rung="solo", skill=["pull"]))
    maren.post("/office/plan/", order())
    batch = next(one for one in batches(demo.id) if one.key.endswith("W-0118"))
    sheet = read.batch_sheet(batch)
    solo = {person["id"]: person["solo"] for person in sheet["people"]}
    assert "pull" in solo["odo"]
    assert "spin" not in solo["odo"]
    assert solo["maren"] == list(ALL_SKILLS)


def test_what_the_floor_saw_is_signed_with_one_press(maren: Client, demo: ShopInfo) -> None:
    batch = beside(demo)
    assert "Pulling: Odo, and Maren stood beside." in maren.get(ODO).content.decode()
    before = standing(demo)
    for _ in range(2):
        maren.post(f"{ODO}seen/", {"batch": batch, "skill": "pull"})
    assert standing(demo) == (before[0], before[1] + 1, before[2])
    page = maren.get(ODO).content.decode()
    assert "Pulling: Odo" not in page
    assert "Maren stood beside" in page


def test_somebody_outside_sees_and_signs_nothing(
    demo: ShopInfo, outsider: Client, client: Client
) -> None:
    assert outsider.get(ODO).status_code == 302
    client.force_login(user_of("elsewhere"))
    for path in (ODO, f"{ODO}seen/", f"{ODO}strike/"):
        assert client.post(path, told()).status_code in (403, GONE)
