"""Two boils side by side at the desk: one press from the record, the answer in the first words."""

import re
from typing import Any

import pytest
from django.test import Client

from shop.screens.office.compare_page import Choice, compare_page
from shop.store.append import office_event
from shop.store.shapes import ShopInfo
from shop.store.shops import create_shop
from tests.office.conftest import user_of
from tests.office.test_record_document import flat
from tests.record.demo_record import demo_record, record_of, weighed

GONE = 404
A, B = Choice("a", "L1A", "Beehive"), Choice("b", "L2B", "Beehive")


def words_of(first: dict[str, Any], second: dict[str, Any]) -> list[str]:
    return compare_page([], [(A, first), (B, second)]).words


def test_the_first_words_say_how_far_apart_and_by_which_loss() -> None:
    dusty = record_of(weighed({"dust": 636}, 92))
    first, second = words_of(demo_record(), dusty)
    assert first == "L2B yielded 2.8 points less than L1A: 85.9 % against 88.7 % of the log."
    assert second == "0.31 kg more dust and chips in L2B: 5.8 % of its log against 3.0 %."
    turned = words_of(dusty, demo_record())
    assert turned[0].startswith("L2B yielded 2.8 points more than L1A")
    assert turned[1] == "0.31 kg more dust and chips in L1A: 5.8 % of its log against 3.0 %."


def test_alike_or_not_packed_yet_is_said_too() -> None:
    assert words_of(demo_record(), demo_record()) == [
        "Both yielded the same: 88.7 % against 88.7 %.",
        "No loss differs by as much as a twentieth of a point.",
    ]
    bare = record_of([e for e in weighed({}) if e["body"].get("what") != "bags"])
    assert words_of(demo_record(), bare) == [
        "L2B: no yield yet; log and bags are not both weighed."
    ]


def test_the_rows_begin_with_the_largest_and_end_with_what_they_add_up_to() -> None:
    page = compare_page([], [(A, demo_record()), (B, record_of(weighed({"dust": 636}, 92)))])
    assert page.losses[0].label == "Dust and chips"
    assert page.losses[0].bar == "M50 1h50v8h-50Z"
    assert {row.more for row in page.losses[1:]} == {"the same"}
    assert page.sums == ("11.3 %", "14.1 %", "+2.8 points")
    assert page.yields == ("88.7 %", "85.9 %", "−2.8 points")


def a_second_boil(demo: ShopInfo) -> None:
    """The handed-over boil goes on to its end, with 0.31 kg more dust than the first."""
    for what, n in (
        ("tail", 410),
        ("dust", 636),
        ("trial", 50),
        ("retain", 100),
        ("bag_mass", 102),
    ):
        body = {"what": what, "n": n, "d": 1, "unit": "g", "instrument": "scale", "how": "scale"}
        office_event(shop_id=demo.id, batch="demo-handover", kind="reading_taken", body=body)
    bags = {"what": "bags", "add": 92}
    office_event(shop_id=demo.id, batch="demo-handover", kind="tally_counted", body=bags)


@pytest.mark.parametrize("address", ["?a=demo-finished&b=demo-handover", "?b=demo-handover"])
def test_it_stands_at_the_desk_the_difference_first(
    lead: Client, demo: ShopInfo, address: str
) -> None:
    a_second_boil(demo)
    page = lead.get(f"/office/compare/{address}").content.decode()
    main = flat(page[page.index("<h1>") :])
    pair = {"L6329A", "L6329B"}
    assert set(re.findall(r"L6329[ABC]", main[:40])) == pair
    # The eye: title, yields, the loss that did most; then the table, that loss on top.
    assert main.index("0.31 kg more dust and chips") < 200
    rows = re.findall(r'<tr><th scope="row">([^<]+)', page)
    assert rows[0] == "Dust and chips"
    assert "style=" not in page


def test_one_press_leads_there_from_the_record(lead: Client, demo: ShopInfo) -> None:
    a_second_boil(demo)
    record = lead.get("/office/batch/demo-handover/").content.decode()
    [link] = re.findall(r'href="(/office/compare/[^"]*)"', record)
    page = lead.get(link).content.decode()
    assert "0.31 kg more dust and chips in L6329B" in flat(page)


def test_a_boil_of_nobody_s_is_not_there(lead: Client) -> None:
    assert lead.get("/office/compare/?a=demo-finished&b=other").status_code == GONE
    assert lead.get("/office/compare/?a=%00").status_code == GONE


def test_a_shop_without_boils_says_so(client: Client, db: None) -> None:
    client.force_login(user_of("office", create_shop(slug="new", name="New loft")))
    assert "no two boils yet" in client.get("/office/compare/").content.decode()
