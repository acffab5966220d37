"""The desk: what it shows, what it refuses, and to whom."""

import csv
import io
import json
from datetime import UTC, datetime
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from shop.plan.numbers import defaults
from shop.store import batches, numbers, people, phones
from shop.store.access import access_batch
from shop.store.append import office_event
from shop.store.shapes import ShopInfo

NO_CONTENT, FOUND, WRONG, GONE = 204, 302, 400, 404


def test_the_desk_shows_every_boil_and_what_it_needs(lead: Client) -> None:
    page = lead.get("/office/").content.decode()
    assert "handover offered, not yet taken" in page
    assert "Draw, cut to table length, keep turning" in page


@pytest.mark.parametrize("batch", ["demo-planned", "demo-handover", "demo-finished"])
@pytest.mark.parametrize("page", ["record", "sheet", "paper"])
def test_each_page_of_a_batch_opens(lead: Client, batch: str, page: str) -> None:
    answer = lead.get(reverse(f"office-{page}", args=[batch]))
    assert answer.status_code == 200
    assert "Beehive" in answer.content.decode()


def test_the_record_closes_its_mass_balance_and_names_its_two_deviations(lead: Client) -> None:
    page = lead.get("/office/batch/demo-finished/").content.decode()
    assert "88.7 %" in page
    assert "0.01 kg" in page
    assert "Cook off the mark" in page
    assert "Rod off gauge" in page
    assert "152.3 degC" in page


def test_the_record_says_who_when_and_when_the_shop_had_it(lead: Client) -> None:
    record = json.loads(lead.get("/office/batch/demo-finished/record.json").content)
    peak = next(r for r in record["readings"] if r["what"] == "peak")
    read_at = datetime.fromtimestamp(peak["happened"] / 1000, UTC)
    assert (peak["by"], f"{read_at:%H:%M:%S}") == ("Maren", "11:26:30")
    assert peak["received"] is not None
    assert {"steps", "readings", "deviations", "mass_balance", "yield"} <= set(record)


def test_the_record_leaves_as_a_table_that_no_spreadsheet_takes_for_a_formula(
    lead: Client, demo: ShopInfo
) -> None:
    office_event(
        shop_id=demo.id,
        batch="demo-handover",
        kind="step_passed",
        step="roller.draw",
        body={"reason": "=1+1"},
    )
    people.set_person(shop_id=demo.id, key="maren", name="=Maren", role="lead maker")
    answer = lead.get("/office/batch/demo-handover/record.csv")
    rows = list(csv.DictReader(io.StringIO(answer.content.decode())))
    assert {"done", "passed", "reading", "note_written"} <= {row["type"] for row in rows}
    assert all(not value.startswith("=") for row in rows for value in row.values())


def test_a_live_page_answers_nothing_until_something_new_is_kept(
    lead: Client, demo: ShopInfo, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    position = access_batch(demo.id, "demo-planned").position
    address = f"/office/batch/demo-planned/live/?at={position}"
    with django_assert_max_num_queries(5):
        assert lead.get(address).status_code == NO_CONTENT
    note = {"text": "A visitor"}
    office_event(shop_id=demo.id, batch="demo-planned", kind="note_written", body=note)
    assert "A visitor" in lead.get(address).content.decode()


def test_a_name_with_markup_is_shown_as_text(lead: Client, demo: ShopInfo) -> None:
    text = "<script>alert(1)</script>"
    office_event(shop_id=demo.id, batch="demo-planned", kind="note_written", body={"text": text})
    page = lead.get("/office/batch/demo-planned/").content.decode()
    assert text not in page
    assert "&lt;script&gt;" in page


def order(**more: str | list[str]) -> dict[str, str | list[str]]:
    plain = {
        **{"title": "Beehive again", "number": "W-0118", "customer": "Nobody real"},
        **{"flavour": "quince", "country": "GB", "due": "2027-02-01", "packs": "60"},
        **{"fill": "100", "rod": "14", "piece": "12", "log": "9", "day": "2027-01-20"},
        **{"light_up": "08:00", "shift_end": "12:30", "letter": "D", "pattern": "wave"},
        **{"lead": "maren", "picture": "demo-finished", "parts": "", "reading_end": "dot"},
    }
    return {**plain, "crew": ["maren", "tobit", "isolde", "pim"], **more}


def test_an_order_becomes_a_sheet_a_verdict_and_an_open_boil(lead: Client, demo: ShopInfo) -> None:
    answer = lead.post("/office/plan/", order())
    assert answer["Location"] == "/office/batch/L7020D-W-0118/sheet/"
    assert "Yes" in lead.get(answer["Location"]).content.decode()
    lead.post("/office/batch/L7020D-W-0118/open/")
    assert access_batch(demo.id, "L7020D-W-0118").phase == "open"


def test_a_picture_typed_as_data_is_planned_too(lead: Client) -> None:
    parts = "\n".join(
        [
            "Casing; Red; clear; #b01818; 2714; 6; jacket",
            "Band; White; white; #fdf8ec; 9000; 8; band",
            "Star; Gold; light; #f2c230; 5957; 9; Star",
        ]
    )
    answer = lead.post("/office/plan/", order(picture="", parts=parts, letter="E"))
    page = lead.get(answer["Location"]).content.decode()
    assert "Cut and weigh the gold portion" in page
    assert "Lay up: Star" in page


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("packs", "0", "greater than or equal to 1"),
        ("rod", "140", "less than or equal to 40"),
        ("log", "nan", "Enter a number"),
        ("fill", "100 g", "Enter a number"),
        ("due", "2027-02-31", "Enter a valid date"),
        ("lead", "nobody", "Select a valid choice"),
        ("title", "", "This field is required"),
        ("picture", "demo-nothing", "Select a valid choice"),
    ],
)
def test_a_wrong_order_is_refused_by_name_and_nothing_is_kept(
    lead: Client, demo: ShopInfo, field: str, value: str, said: str
) -> None:
    before = len(batches.batches(demo.id))
    answer = lead.post("/office/plan/", order(**{field: value}))
    assert said in answer.content.decode().replace("&#x27;", "'")
    assert len(batches.batches(demo.id)) == before


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ("Casing; Red; clear; #b01818; 2714; 6", "line 1"),
        ("Casing; Red; shiny; #b01818; 2714; 6; jacket", "line 1"),
        ("Casing; Red; clear; red; 2714; 6; jacket", "line 1"),
        ("Casing; Red; clear; #b01818; -2714; 6; jacket", "-2714"),
        ("Casing; Red; clear; #b01818; 2714; 6; jacket", "exactly one sugar must be white"),
    ],
)
def test_parts_that_cannot_be_read_are_named_by_line(lead: Client, parts: str, said: str) -> None:
    answer = lead.post("/office/plan/", order(picture="", parts=parts))
    assert said in answer.content.decode()


def test_two_open_boils_never_share_a_letter(lead: Client, demo: ShopInfo) -> None:
    lead.post("/office/plan/", order(letter="B"))
    page = lead.post("/office/batch/L7020B-W-0118/open/", follow=True).content.decode()
    assert "Choose another letter" in page
    assert access_batch(demo.id, "L7020B-W-0118").phase == "planned"


@pytest.mark.parametrize("value", ["1490", "304 F", "-5", "", "1e3", "149,0,0", "９９"])
def test_a_number_outside_its_range_is_refused_with_both_limits(
    lead: Client, demo: ShopInfo, value: str
) -> None:
    answer = lead.post("/office/numbers/", {"id": "take_off_sea_level", "value": value})
    assert answer.status_code == WRONG
    page = answer.content.decode()
    assert "it must be from" in page
    assert "143.0" in page
    assert numbers.numbers(demo.id) == {}


def test_a_number_is_set_from_the_next_sheet_on(lead: Client, demo: ShopInfo) -> None:
    lead.post("/office/numbers/", {"id": "take_off_sea_level", "value": "150,5"})
    assert numbers.numbers(demo.id)["take_off_sea_level"].value == 150_500
    lead.post("/office/plan/", order())
    page = lead.get("/office/batch/L7020D-W-0118/sheet/").content.decode()
    assert "150.5" in page


def test_every_number_has_a_range_and_a_source() -> None:
    for number in defaults().values():
        assert number.low < number.high, number.id
        assert len(number.source) > 15, number.id


def test_a_phone_is_added_by_a_code_and_can_be_locked_out(lead: Client, demo: ShopInfo) -> None:
    page = lead.post("/office/phones/code/").content.decode()
    code = page.split('class="figures">')[1][:6]
    device = phones.join(code=code, address="10.0.0.9").device
    lead.post(f"/office/phones/{device}/lock/")
    locked = next(p for p in phones.phones(demo.id) if p.device == device)
    assert locked.locked_out_at is not None
    assert lead.post("/office/phones/nothing/lock/").status_code == GONE


def test_somebody_is_added_and_taken_off_the_phones(lead: Client, demo: ShopInfo) -> None:
    lead.post("/office/people/", {"name": "Ødegaard", "role": "second hand"})
    key = next(p.key for p in people.people(demo.id) if p.name == "Ødegaard")
    lead.post(f"/office/people/{key}/switch/")
    assert key not in {p.key for p in people.people(demo.id, active_only=True)}


def test_a_batch_that_is_not_there_is_a_page_that_says_so(lead: Client) -> None:
    for page in ("record", "sheet", "paper", "record-json", "record-csv", "record-live"):
        assert lead.get(reverse(f"office-{page}", args=["nothing"])).status_code == GONE


def test_a_boil_in_the_wrong_hands_needs_someone(lead: Client, demo: ShopInfo) -> None:
    taken: dict[str, Any] = {"kind": "boil_taken", "body": {"from": "maren"}}
    wants = "has the boil: it wants"
    for who, said in (("tobit", False), ("isolde", True), ("greta", False)):
        office_event(shop_id=demo.id, batch="demo-handover", by=who, **taken)
        assert (wants in lead.get("/office/").content.decode()) is said, who
