"""The list of boils at the desk: found, paged, and nothing but the own shop's."""

import re
from functools import cache
from html import unescape
from typing import Any

import pytest
from django.test import Client

from shop.demo.scenario import demo_sheet
from shop.screens.office import boils as screen
from shop.store import batches
from shop.store.shapes import ShopInfo
from tests.office.conftest import user_of

PAGE = "/office/boils/"
OK, GONE = 200, 404


@pytest.fixture(autouse=True)
def no_hurry(monkeypatch: pytest.MonkeyPatch) -> None:
    """However busy the machine is, all is read before a page is shown."""
    monkeypatch.setattr(screen, "READS_S", None)


@cache
def made() -> dict[str, Any]:
    return demo_sheet("demo-planned")


def plan(shop: ShopInfo, key: str, **changes: object) -> None:
    boil = {"letter": "H", "pattern": "dot"}
    batches.plan_batch(shop_id=shop.id, sheet={**made(), "boil": boil, "batch": key, **changes})


def lots(client: Client, **asked: str) -> list[str]:
    """Lots in the list, in its order."""
    answer = client.get(PAGE, asked)
    assert answer.status_code == OK
    return re.findall(r"<p>(L\w+), ", answer.content.decode())


def test_the_list_shows_what_came_of_each(demo: ShopInfo, lead: Client) -> None:
    text = unescape(re.sub(r"<[^>]+>", " ", lead.get(PAGE).content.decode()))
    words = " ".join(text.split())
    assert "Beehive, quince and lemon balm L6329A, 25 Nov 2026, closed" in words
    assert "Bags 95" in words
    assert "Packed 9.69 kg" in words
    assert re.search(r"Yield 88\.7 %", words)
    assert re.search(r"\d went off", words)


ASKED: list[tuple[dict[str, str], bool]] = [
    ({"words": "HERON"}, True),
    ({"words": "heron balm"}, True),
    ({"words": "herons"}, False),
    ({"month": "2027-01"}, True),
    ({"month": "2027-02"}, False),
    ({"customer": "Pond & Sons"}, True),
    ({"customer": "Pond"}, False),
    ({"colour": "#123456"}, True),
    # Nearest, by CIEDE2000, of what the shop has.
    ({"colour": "another", "tint": "#103050"}, True),
    ({"colour": "another", "tint": "#ffee00"}, False),
    ({"off": "any"}, False),
    ({"off": "cook"}, False),
]


def test_a_boil_is_found_by_what_was_entered(demo: ShopInfo, lead: Client) -> None:
    sheet = made()
    blue = [{**portion, "swatch": "#123456"} for portion in sheet["portions"][:1]]
    order = {**sheet["order"], "customer": "Pond & Sons"}
    for asked, there in reversed(ASKED):
        plan(
            demo, "heron", lot="L7001A", title="Heron", day="2027-01-01", portions=blue, order=order
        )
        assert ("L7001A" in lots(lead, **asked)) is there, asked


def test_what_went_off_narrows_the_list(demo: ShopInfo, lead: Client) -> None:
    assert set(lots(lead, off="gauge")) == {"L6329A", "L6329B"}
    assert lots(lead, off="grain") == []


def test_pages_lead_on_to_the_oldest_and_keep_what_is_asked(
    demo: ShopInfo, lead: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    for n in range(70):
        plan(demo, f"heron{n}", lot=f"L7{n:03d}H", title="Heron", day="2027-01-01")
    address, seen = f"{PAGE}?words=heron", []
    while address:
        page = lead.get(address).content.decode()
        seen += re.findall(r"<p>(L\w+), ", page)
        more = re.search(r'href="([^"]+)">Older boils', page)
        address = f"{PAGE}{unescape(more[1])}" if more else ""
    assert sorted(seen) == sorted(f"L7{n:03d}H" for n in range(70))


def test_a_field_filled_in_wrongly_is_said_and_finds_as_if_it_were_empty(
    demo: ShopInfo, lead: Client
) -> None:
    for asked in ({"month": "soon"}, {"off": "nothing of ours"}, {"colour": "blue"}):
        assert "L6329A" in lots(lead, **asked)
    assert "Enter a valid value" in lead.get(PAGE, {"month": "soon"}).content.decode()
    assert "L6329A" in lots(lead, words="\0")


def test_nothing_of_another_shop_is_listed_or_named(demo: ShopInfo, client: Client) -> None:
    from shop.store.shops import create_shop

    other = create_shop(slug="other", name="The other loft")
    client.force_login(user_of("neighbour", other))
    page = client.get(PAGE).content.decode()
    assert "No boil yet" in page
    assert "Beehive" not in page
    assert client.get(PAGE, {"after": "demo-finished"}).status_code == GONE
    assert client.get(PAGE, {"beside": "demo-finished"}).status_code == GONE


def test_what_is_still_to_be_read_is_said_and_asked_for_again(
    demo: ShopInfo, lead: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(screen, "READS_S", -1.0)
    for n in range(30):
        plan(demo, f"heron{n}", lot=f"L7{n:03d}H", title="Heron")
    first, second = (lead.get(PAGE, {"words": "heron"}).content.decode() for _ in range(2))
    assert "13 boils went on and are still to be read" in first
    assert 'hx-get="/office/boils/?words=heron"' in first
    assert "still to be read" not in second


def test_a_name_in_the_list_is_text(demo: ShopInfo, lead: Client) -> None:
    order = {**made()["order"], "customer": '<b>&"x'}
    plan(demo, "odd", title="<script>", order=order)
    page = lead.get(PAGE).content.decode()
    assert "<script>" not in page.replace("<script src", "")
    assert "?customer=%3Cb%3E%26%22x" in page
    assert lots(lead, customer='<b>&"x') == ["L6329C"]
