"""Labels at the desk of the invented shop: right in one click, held back in words, kept."""

import json
import re
from typing import Any

import pytest
from django.test import Client

from shop.models import Change, LabelPrint
from shop.plan.canonical import canonical
from shop.screens.office.label_pdf import label_pdf
from shop.store import lot_moves, read
from shop.store.access import access_batch
from shop.store.append import office_event
from shop.store.label_settings import Size
from shop.store.shapes import ShopInfo

OK, MOVED, CONFLICT = 200, 302, 409
BOIL_KEY = "demo-finished"
URL = f"/office/batch/{BOIL_KEY}/label/"


def words(page: Any) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.content.decode()))


def post(lead: Client, **more: Any) -> Any:
    return lead.post(URL, {"place": "GB", "size": "0", "copies": "95", **more})


def test_the_right_label_stands_there_at_once(lead: Client) -> None:
    page = lead.get(URL)
    assert page.status_code == OK
    text = words(page)
    assert "acid (citric acid), flavouring, colours (curcumin, plain caramel)" in text
    assert "Lot L6329A" in text
    assert "Best before 25 Nov 2027" in text
    # The invented order is for the United Kingdom; 95 bags were packed (job, section 8).
    assert 'name="place" value="GB"' in page.content.decode()
    assert 'name="copies" type="number" min="1" max="2000" value="95"' in page.content.decode()


def test_printed_it_is_kept_word_for_word_and_comes_out_the_same(lead: Client) -> None:
    sent = post(lead)
    assert sent.status_code == MOVED
    row = LabelPrint.objects.get()
    assert (row.number, row.place, row.copies, row.by) == (1, "GB", 95, "office")
    held = json.loads(row.text)
    assert canonical(held) == row.text
    first, again = (lead.get(sent["Location"]) for _ in range(2))
    assert (first.status_code, first["Content-Type"]) == (OK, "application/pdf")
    assert first.content == again.content
    assert first.content == label_pdf(held["label"], Size(**held["size"]), 95, row.at)
    assert "Print again" in words(lead.get(URL))


def test_another_lot_makes_it_stale_and_it_is_not_printed_again(
    lead: Client, demo: ShopInfo
) -> None:
    address = post(lead)["Location"]
    body = {"material": "glucose-syrup", "lot": "g42"}
    office_event(shop_id=demo.id, batch=BOIL_KEY, kind="lot_used", body=body, by="pim")
    text = words(lead.get(URL))
    assert "95 labels printed before no longer match this boil" in text
    # Wheat is exempt in Great Britain: other syrup, the same words.
    assert "the words would be the same" in text
    assert "Print again" not in text
    refused = lead.get(address)
    assert refused.status_code == CONFLICT
    assert "print the label anew" in words(refused)
    assert post(lead).status_code == MOVED
    assert [row.number for row in LabelPrint.objects.order_by("number")] == [1, 2]


def test_butter_against_the_foam_changes_the_words_and_says_which(
    lead: Client, demo: ShopInfo
) -> None:
    post(lead)
    body = {"material": "butter", "lot": "b3"}
    office_event(shop_id=demo.id, batch=BOIL_KEY, kind="lot_used", body=body, by="pim")
    text = words(lead.get(URL))
    assert "now otherwise: ingredients" in text
    assert "butter (milk)" in text.replace("( milk )", "(milk)")


@pytest.mark.parametrize("key", ["demo-planned"])
def test_a_boil_of_which_nobody_said_the_lots_gets_no_label(lead: Client, key: str) -> None:
    address = f"/office/batch/{key}/label/"
    text = words(lead.get(address))
    assert "No label yet" in text
    assert "nobody said which lot" in text
    assert "Say which lot was used" in text
    refused = lead.post(address, {"place": "GB", "size": "0", "copies": "10"})
    assert refused.status_code == CONFLICT
    assert LabelPrint.objects.count() == 0


def test_a_lot_said_at_the_desk_takes_its_gap_away_and_is_an_entry(
    lead: Client, demo: ShopInfo
) -> None:
    address = "/office/batch/demo-planned/label/"
    assert "Sugar: nobody said which lot" in words(lead.get(address))
    wrong = lead.post(f"{address}lot/", {"material": "sugar", "lot": "g42"}, follow=True)
    assert "Choose a lot of that material" in words(wrong)
    before = access_batch(demo.id, "demo-planned").position
    said = lead.post(f"{address}lot/", {"material": "sugar", "lot": "s119"}, follow=True)
    assert "Sugar: lot S119 went in" in words(said)
    assert "Sugar: nobody said which lot" not in words(said)
    assert "Citric acid: nobody said which lot" in words(said)
    batch = access_batch(demo.id, "demo-planned")
    newest = read.batch_events(batch)[-1]
    assert batch.position > before
    assert (newest["kind"], newest["known"]) == ("lot_used", "said")
    assert newest["body"] == {"material": "sugar", "lot": "s119"}


def test_when_every_lot_is_said_there_is_a_label(lead: Client) -> None:
    address = "/office/batch/demo-planned/label/"
    for row in lead.get(address).context["unsaid"]:
        lead.post(f"{address}lot/", {"material": row.material, "lot": row.lots[-1][0]})
    text = words(lead.get(address))
    assert "No label yet" not in text
    assert "not weighed; as planned" in text
    assert lead.post(address, {"place": "GB", "size": "0", "copies": "5"}).status_code == MOVED


def test_a_colour_with_a_us_name_has_it_in_the_us(lead: Client) -> None:
    assert "turmeric color" in words(lead.get(f"{URL}?place=US&size=1"))


def test_a_held_lot_holds_the_label_back(lead: Client, demo: ShopInfo) -> None:
    lot_moves.hold(shop_id=demo.id, key="s118", why="Wet sack", by="pim")
    text = words(lead.get(URL))
    assert "lot S118, is held" in text
    assert post(lead).status_code == CONFLICT
    assert LabelPrint.objects.count() == 0


@pytest.mark.parametrize("copies", ["0", "2001", "many", ""])
def test_a_wrong_number_of_copies_is_said_and_nothing_is_kept(lead: Client, copies: str) -> None:
    assert "a whole number from 1 to 2000" in words(post(lead, copies=copies))
    assert LabelPrint.objects.count() == 0


def test_our_labels_are_changed_with_their_history(lead: Client) -> None:
    page = lead.get("/office/labels/")
    form, rows = page.context["form"], page.context["rows"]
    data = {name: form[name].value() for name in form.fields}
    data |= {f.html_name: f.value() for row in rows for f in row if f.value() is not None}
    data |= {f.html_name: f.value() for f in rows.management_form}
    data |= {"months": "9", "storage": "Keep it dry."}
    assert lead.post("/office/labels/", data).status_code == MOVED
    text = words(lead.get(URL))
    assert "Best before 25 Aug 2027" in text
    assert "Keep it dry." in text
    told = {(c.what, c.after, c.by) for c in Change.objects.filter(about="labels")}
    assert ("months", "9", "office") in told
    assert "Keep it dry." in words(lead.get("/office/labels/"))
    wide = {**data, "size-0-wide": "250"}
    assert lead.post("/office/labels/", wide).status_code == OK


def test_bags_that_were_weighed_are_judged_and_struck_ones_left_out(
    lead: Client, demo: ShopInfo
) -> None:
    sent: list[dict[str, Any]] = []
    for grams in (99, 104, 99, 103, 20):
        body: dict[str, Any] = {"what": "bag_mass", "n": grams, "d": 1, "unit": "g"}
        body |= {"instrument": "pack-scale", "how": "scale"}
        made_of: dict[str, Any] = {"kind": "reading_taken", "body": body, "by": "pim"}
        sent.append(office_event(shop_id=demo.id, batch=BOIL_KEY, **made_of))
    text = words(lead.get(URL))
    assert "3 of 6 light" in text
    assert "1 too short to sell" in text
    target = {"target": f"{sent[-1]['device']}:{sent[-1]['seq']}", "reason": "empty bag"}
    office_event(shop_id=demo.id, batch=BOIL_KEY, kind="struck", body=target, by="pim")
    text = words(lead.get(URL))
    # 102, 99, 104, 99, 103: mean 101.4, standard deviation 2.3.
    assert "mean 101.4, 2 of 5 light" in text
    assert "too short to sell" not in text
