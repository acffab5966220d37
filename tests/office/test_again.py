"""Making again at the desk: two presses from the list to a sheet for sixty bags, all differences
named."""

import re
from html import unescape
from typing import Any

import pytest
from django.test import Client

from shop.plan.again import planned_figures
from shop.screens.office import lessons as lessons_page
from shop.store import lessons, read
from shop.store.access import access_batch
from shop.store.numbers import change_number
from shop.store.people import set_active
from shop.store.shapes import ShopInfo
from shop.store.shops import create_shop
from tests.office.conftest import user_of

OK, FOUND, GONE = 200, 302, 404
AGAIN = "/office/batch/demo-finished/again/"


def said(answer: Any) -> str:
    text = re.sub(r"<(head|style).*?</\1>", " ", answer.content.decode(), flags=re.DOTALL)
    return re.sub(r"[ \n]+", " ", unescape(re.sub(r"<[^>]+>", " ", text)))


def filled_in(answer: Any) -> dict[str, Any]:
    """What the form would send as it stands, as a browser reads it."""
    page = answer.content.decode()
    found: dict[str, Any] = {}
    for tag in re.findall(r"<input[^>]*>", page):
        parts = dict(re.findall(r'(\w+)="([^"]*)"', tag))
        if parts["type"] == "checkbox" and " checked" in tag:
            found.setdefault(parts["name"], []).append(parts.get("value", "on"))
        elif parts["type"] not in ("checkbox", "hidden") and "value" in parts:
            found[parts["name"]] = unescape(parts["value"])
    for name, body in re.findall(r'<select name="(\w+)".*?>(.*?)</select>', page, re.DOTALL):
        chosen = re.findall(r'value="([^"]*)" selected', body)
        found[name] = chosen[0] if chosen else re.findall(r'value="([^"]*)"', body)[0]
    return found


def press(lead: Client, **changes: Any) -> Any:
    """Opens the page from the list, types, and presses."""
    answer = lead.post(AGAIN, {**filled_in(lead.get(AGAIN)), **changes})
    assert answer.status_code == FOUND, said(answer)
    return answer["Location"]


def test_two_presses_lead_from_the_list_and_from_today_to_sixty_bags(
    demo: ShopInfo, lead: Client
) -> None:
    """Story 15."""
    for page in ("/office/boils/?words=beehive", "/office/"):
        assert f'href="{AGAIN}"' in lead.get(page).content.decode()
    sheet = press(lead, packs="60")
    text = said(lead.get(sheet))
    assert "Made again from L6329A : what is different" in text
    assert "Bags 80 60" in text
    key = re.findall(r"/batch/([^/]+)/", sheet)[0]
    new = read.batch_sheet(access_batch(demo.id, key))
    assert new["again"] == {"batch": "demo-finished", "lot": "L6329A"}
    assert planned_figures(new)["log_mass_forecast"] == pytest.approx(8_300_000, abs=10_000)
    old = read.batch_sheet(access_batch(demo.id, "demo-finished"))
    assert [p["area_um2"] for p in new["parts"]] == [p["area_um2"] for p in old["parts"]]
    assert new["picture"] == old["picture"]


def test_the_page_shows_the_boil_as_it_was_made(demo: ShopInfo, lead: Client) -> None:
    text = said(lead.get(AGAIN))
    for words in (
        "95 bags came of it",
        "Hive, then Door, then Bees, then White field",
        "The end with the dot of brown in the casing",
        "Changed: Draw faster; rods 1 to 8 cut at 10.7 mm",
        "Visitor at the door, 90 s late",
        "Two bags and a stub into the box",
        "100\u202fg under lot L6329A, 25 Nov 2026, 13:50:00, by Pim",
    ):
        assert words in text, words
    assert re.search(r"Yellow .*?1\.2\d\u202fkg 1\.23\u202fkg", text)


def test_the_old_address_still_leads_here(demo: ShopInfo, lead: Client) -> None:
    assert lead.get("/office/plan/?again=demo-finished")["Location"] == AGAIN
    assert lead.get("/office/plan/?again=nothing").status_code == GONE
    assert 'value="60"' in lead.get(f"{AGAIN}?packs=60").content.decode()
    assert 'value="80"' in lead.get(f"{AGAIN}?packs=many").content.decode()


def test_the_numbers_of_now_are_used_and_named(demo: ShopInfo, lead: Client) -> None:
    change_number(
        shop_id=demo.id,
        key="white_density",
        value=1_290_000,
        unit="g/m3",
        source="Measured",
        low=900_000,
        high=1_600_000,
    )
    text = said(lead.get(press(lead)))
    assert "Density, pulled white 1250\u202fkg/m³ 1290\u202fkg/m³" in text


def test_who_left_is_not_in_the_new_crew_and_it_is_said(demo: ShopInfo, lead: Client) -> None:
    set_active(shop_id=demo.id, key="tobit", active=False)
    text = said(lead.get(press(lead)))
    assert "Crew Isolde, Maren, Pim, Tobit Isolde, Maren, Pim" in text


def test_a_log_that_is_too_large_is_refused_in_words(demo: ShopInfo, lead: Client) -> None:
    answer = lead.post(AGAIN, {**filled_in(lead.get(AGAIN)), "packs": "400"})
    assert answer.status_code == OK
    assert "25000000 mg of log" in said(answer)


def test_nothing_of_another_shops_boil_is_made_again(demo: ShopInfo, client: Client) -> None:
    other = create_shop(slug="other", name="The other loft")
    client.force_login(user_of("neighbour", other))
    assert client.get(AGAIN).status_code == GONE
    assert client.post(AGAIN, {"packs": "60"}).status_code == GONE


def test_the_first_reading_of_what_the_boils_said_tells_how_far_it_is(
    demo: ShopInfo, lead: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    lessons._read.clear()
    monkeypatch.setattr(lessons, "TOGETHER", 1)
    monkeypatch.setattr(lessons_page, "READS_S", -1.0)
    keys = lessons._keys(demo.id) * 3
    monkeypatch.setattr(
        lessons, "_keys", lambda _: [key._replace(epoch=f"{n}") for n, key in enumerate(keys)]
    )
    seen = [said(lead.get("/office/lessons/")) for _ in range(3)]
    assert "Reading what the boils said: 1 of 3." in seen[0]
    assert "Reading what the boils said: 2 of 3." in seen[1]
    assert "From the 3 finished boils" in seen[2]
    assert "would have" in said(lead.get("/office/lessons/offered/"))
