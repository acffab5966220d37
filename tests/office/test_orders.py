"""Orders at the desk: half an enquiry kept, answered at once, agreed, planned, sent, erased."""

import json
import re
from typing import Any

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from shop.demo.order import SAID
from shop.plan.orders.said import ACCEPTS
from shop.screens.office.proof import link_of
from shop.store import drawings, orders
from shop.store.access import access_batch
from shop.store.deliveries import gone
from shop.store.order_reading import access_order, history
from shop.store.read import batch_sheet
from shop.store.shapes import ShopInfo
from tests.office.asks import a_picture
from tests.office.order_asks import ASKED, ask_for, intake
from tests.office.test_desk import order as a_plan

OK, FOUND, WRONG, GONE, NOT_SO = 200, 302, 400, 404, 405
YES = {"seen": "on", "varies": "on", "name": "Ada L"}
WHO = {"name": "Ada Lov", "reach": "ada@customer.example", "number": "W-0500"}
WHOLE: dict[str, Any] = {
    **{"art": "two bees", "text": "ÉLAN", "language": "French", "reads": "ring", "rod": "14"},
    **{"colours": ["yellow", "brown"], "flavour": "quince", "sour": "yes", "piece": "12"},
    **{"contains": "nothing", "needs_asked": "some", "needs": ["vegan"], "due": "2027-06-04"},
    **{"count1": "80", "fill1": "100", "packaging1": "bag", "count2": "6", "fill2": "250.5"},
    **{"packaging2": "jar", "place": "counter", "ship_days": "1", "country": "GB"},
    **{"approves": "customer", "accepts": list(ACCEPTS), "price": "450.5", "deposit": "0"},
    **{"reorder": "yes", "fails": "remake", "remake_by": "2027-06-10"},
}


def page(lead: Client, number: str = ASKED, path: str = "") -> str:
    return lead.get(f"/office/orders/{number}/{path}").content.decode()


def words(html: str) -> str:
    """What stands on a page, without its marks."""
    return " ".join(re.sub("<[^>]*>", " ", html).split())


def test_half_an_enquiry_is_kept_and_the_rest_is_asked_for_in_words(
    lead: Client, demo: ShopInfo
) -> None:
    answer = lead.post("/office/orders/new/", intake(**WHO))
    assert answer["Location"] == "/office/orders/W-0500/"
    shown = words(page(lead, "W-0500"))
    for asked in ("What it shows: a picture, or words for it", "The day it must be there"):
        assert asked in shown
    assert "First write down how many packs" in shown
    assert access_order(demo.id, "W-0500").customer.name == "Ada Lov"


def test_everything_said_comes_back_into_the_form_as_it_was_typed(
    lead: Client, demo: ShopInfo
) -> None:
    lead.post("/office/orders/new/", intake(**{**WHO, **WHOLE}))
    said = access_order(demo.id, "W-0500").said
    assert (said["price"], said["rod_um"], said["ship_days"]) == (45_050, 14_000, 1)
    assert [(p["count"], p["fill_mg"]) for p in said["packs"]] == [(80, 100_000), (6, 250_500)]
    # The form sent back as it was shown changes nothing.
    form = lead.get("/office/orders/W-0500/change/").context["form"]
    shown = {name: value for name, value in form.initial.items() if value not in (None, False, [])}
    entries = access_order(demo.id, "W-0500").entries
    answer = lead.post("/office/orders/W-0500/change/", {**shown, "seen": str(entries)})
    assert answer.status_code == FOUND
    assert access_order(demo.id, "W-0500").entries == entries


def test_an_order_with_everything_said_is_quoted_and_agreed_by_two_presses(
    lead: Client, demo: ShopInfo
) -> None:
    lead.post("/office/orders/new/", intake(**{**WHO, **WHOLE}))
    for stage in ("quoted", "agreed"):
        lead.post("/office/orders/W-0500/stage/", {"to": stage, "note": "by telephone"})
    assert access_order(demo.id, "W-0500").stage == "agreed"
    assert "by telephone" in page(lead, "W-0500")
    refused = lead.post("/office/orders/W-0500/stage/", {"to": "delivered"}, follow=True)
    assert "An order that is agreed can be planned" in words(refused.content.decode())


def test_the_seven_questions_are_answered_where_the_order_is_opened(
    lead: Client, demo: ShopInfo
) -> None:
    lead.post("/office/orders/new/", intake(**{**WHO, **WHOLE}))
    answers = lead.get("/office/orders/W-0500/").context["answers"]
    replies = {q["id"]: q["reply"] for q in answers.verdict["questions"]}
    assert list(replies) == ["text", "lines", "parts", "sugar", "law", "day", "variation"]
    assert replies["lines"] == replies["parts"] == "ask"
    assert "no" not in replies.values()
    shown = words(page(lead, "W-0500"))
    assert "Make it by Tue 1 Jun 2027" in shown
    assert "The median of 1 boil of this shop" in shown


def test_the_quote_on_the_page_adds_up(lead: Client, demo: ShopInfo) -> None:
    lead.post("/office/orders/new/", intake(**{**WHO, **WHOLE}))
    quote = lead.get("/office/orders/W-0500/").context["answers"].quote
    cents = [round(float(line.money) * 100) for line in quote.lines]
    on_top = [round(float(line.money) * 100) for line in quote.on_top]
    assert sum(cents) == round(float(quote.cost) * 100)
    assert sum(cents) + sum(on_top) == round(float(quote.price) * 100)
    dearer = {"id": "price_pack", "value": "1.22"}
    assert lead.post("/office/orders/settings/", dearer).status_code == FOUND
    after = lead.get("/office/orders/W-0500/").context["answers"].quote
    assert round((float(after.cost) - float(quote.cost)) * 100) == 86 * 100


def test_with_a_picture_the_verdict_comes_with_ways_out(lead: Client, demo: ShopInfo) -> None:
    many = {**WHOLE, "count1": "300", "text": "", "no_text": "on", "drawing": a_picture(demo)}
    lead.post("/office/orders/new/", intake(**{**WHO, **many}))
    first = lead.get("/office/orders/W-0500/")
    assert first.context["answers"].waits
    assert "hx-get" in first.content.decode()
    answers = first.context["answers"]
    for _ in range(600):
        answers = lead.get("/office/orders/W-0500/answers/").context["answers"]
        if not answers.waits:
            break
    assert answers.verdict["verdict"] == "instead"
    assert any(offer["passes"] for offer in answers.verdict["counter_offers"])
    assert answers.quote.logs.startswith("4 logs") or " logs of" in answers.quote.logs


def test_a_text_is_read_back_letter_by_letter(lead: Client, demo: ShopInfo) -> None:
    lead.post("/office/orders/new/", intake(**{**WHO, "text": "É0 <b>l "}))
    shown = page(lead, "W-0500")
    for told in ("capital E with acute", "the figure nought", "not O or Q", "␣", "small l"):
        assert told in shown
    assert "It begins or ends with a space." in shown
    assert "<b>l" not in shown


@pytest.mark.parametrize(
    ("given", "words_"),
    [
        ({"title": ""}, "This field is required"),
        ({"number": "W 1"}, "The order number is"),
        ({"number": "W-0117"}, "There is an order W-0117 already"),
        ({"price": "lots"}, "is no sum; write 450 or 450.50"),
        ({"count1": "5"}, "say both"),
        ({"no_text": "on", "text": "HI"}, "take one of the two away"),
        ({"rod": "99"}, "less than or equal to 40"),
        ({"name": ""}, "This field is required"),
    ],
)
def test_what_is_no_answer_is_said_beside_it_and_nothing_is_kept(
    lead: Client, given: dict[str, str], words_: str
) -> None:
    answer = lead.post("/office/orders/new/", {**intake(**WHO), **given})
    assert answer.status_code == OK
    assert words_ in words(answer.content.decode()).replace("&#x27;", "'")
    assert lead.get("/office/orders/W-0500/").status_code == GONE
    assert "Ada Lov" not in words(lead.get("/office/orders/new/?named=Ada").content.decode())


def test_somebody_known_is_found_and_orders_the_same_again(lead: Client, demo: ShopInfo) -> None:
    lead.post("/office/orders/new/", intake(**{**WHO, **WHOLE}))
    key = access_order(demo.id, "W-0500").customer.key
    assert f"?customer={key}" in lead.get("/office/orders/new/?named=ada").content.decode()
    address = f"/office/orders/new/?customer={key}&again=W-0500"
    form = lead.get(address).context["form"]
    assert form.initial["flavour"] == "quince"
    lead.post(address, intake(number="W-0501"))
    assert access_order(demo.id, "W-0501").customer.key == key
    both = words(lead.get(f"/office/orders/?show=all&customer={key}").content.decode())
    assert "Orders of Ada Lov" in both
    assert "1 to 2 of 2" in both


def test_a_change_is_kept_once_and_not_over_somebody_elses(lead: Client, demo: ShopInfo) -> None:
    ask_for(demo, "Two bees")
    seen = str(access_order(demo.id, ASKED).entries)
    change = f"/office/orders/{ASKED}/change/"
    assert lead.post(change, intake(seen=seen, flavour="mint")).status_code == FOUND
    late = lead.post(change, intake(seen=seen, flavour="lime"))
    assert "Somebody changed W-0900 while you wrote" in late.content.decode()
    assert access_order(demo.id, ASKED).said["flavour"] == "mint"


def agreed(demo: ShopInfo, number: str = ASKED, **more: Any) -> None:
    """An agreed order without a picture."""
    who = ("Ada Lov", "ada@customer.example")
    given: Any = {"title": "Two bees", "due": "2027-06-04", **more}
    orders.new_order(
        shop_id=demo.id, number=number, customer="", who=who, said={**SAID}, by="pim", **given
    )
    for stage in ("quoted", "agreed"):
        orders.move(shop_id=demo.id, number=number, to=stage, by="pim")


def test_the_customers_yes_by_the_private_link_agrees_and_a_changed_picture_takes_it_back(
    lead: Client, demo: ShopInfo
) -> None:
    key = a_picture(demo)
    who = ("Ada Lov", "ada@customer.example")
    given: Any = {"title": "Star", "due": "2027-06-04", "said": SAID, "drawing": key}
    orders.new_order(shop_id=demo.id, number=ASKED, customer="", who=who, **given)
    orders.move(shop_id=demo.id, number=ASKED, to="quoted")
    assert "The yes to a proof of the picture" in words(page(lead))
    faces = json.dumps(dict.fromkeys(("planned", "mirror", "usual"), '<svg role="img"></svg>'))
    proof = drawings.new_proof(
        shop_id=demo.id, key=key, number=2, rod_um=14_000, face=faces, days=14
    )
    assert Client().post(link_of(proof), YES).status_code == FOUND
    shown = words(page(lead))
    assert access_order(demo.id, ASKED).stage == "agreed"
    assert "The customer said yes to it." in shown
    assert "the customer proof approved version 2 of the picture" in shown
    lead.post(f"/office/pictures/{key}/change/", {"act": "undo"})
    after = words(page(lead))
    assert access_order(demo.id, ASKED).stage == "quoted"
    assert "No yes to this version" in after
    assert "the picture has changed and wants a new yes" in after


def test_a_boil_is_planned_from_an_order_and_names_nobody(lead: Client, demo: ShopInfo) -> None:
    agreed(demo)
    form = lead.get(f"/office/plan/?order={ASKED}").context["form"]
    began = {key: str(form[key].value()) for key in ("number", "customer", "flavour", "packs")}
    assert began == {
        **{"number": ASKED, "customer": f"Order {ASKED}", "packs": "80"},
        "flavour": "quince and lemon balm",
    }
    plan = a_plan(number=ASKED, customer=began["customer"], title="Two bees", packs="80")
    answer = lead.post(f"/office/plan/?order={ASKED}", plan, follow=True)
    found = access_order(demo.id, ASKED)
    assert (found.stage, found.make_day) == ("planned", "2027-01-20")
    [boil] = found.boils
    sheet = batch_sheet(access_batch(demo.id, boil.batch))
    assert "Ada" not in json.dumps(sheet)
    assert boil.batch in answer.redirect_chain[-1][0]
    assert boil.lot in page(lead)


def test_a_boil_of_an_order_that_is_not_agreed_is_planned_and_said(
    lead: Client, demo: ShopInfo
) -> None:
    ask_for(demo, "Two bees")
    answer = lead.post("/office/plan/", a_plan(number=ASKED), follow=True)
    assert f"{ASKED} is asked and not agreed yet." in answer.content.decode()
    assert access_order(demo.id, ASKED).stage == "asked"


def test_the_demo_tells_its_order_from_the_first_question_to_the_parcel(
    lead: Client, demo: ShopInfo
) -> None:
    told = [entry.what for entry in history(access_order(demo.id, "W-0117"))]
    assert told == ["asked", "quoted", "agreed", "planned", "made", "packed", "sent"]
    shown = words(page(lead, "W-0117"))
    assert "95 packs, 15 still here" in shown
    assert "Went out: 80 of 80 packs" in shown
    assert "Make it by Mon 30 Nov 2026" in shown
    assert "Can we make it?" not in shown


def test_packs_go_out_over_the_counter_and_come_back_from_an_order(
    lead: Client, demo: ShopInfo
) -> None:
    sent = {"batch": "demo-finished", "packs": "15", "day": "2026-12-03", "way": "out"}
    lead.post("/office/orders/sold/", sent)
    assert gone(demo.id, "demo-finished") == 95
    over = lead.post("/office/orders/sold/", {**sent, "packs": "1"}, follow=True)
    assert "Packs of L6329A is 1; it must be from -15 to 0." in over.content.decode()
    back = {**sent, "packs": "5", "way": "back", "key": "k" * 24}
    for _ in range(2):
        lead.post("/office/orders/W-0117/sent/", back)
    assert gone(demo.id, "demo-finished") == 90
    assert access_order(demo.id, "W-0117").stage == "packed"
    assert "5 packs of L6329A came back; now packed" in words(page(lead, "W-0117"))


def test_who_it_is_for_is_put_right_and_erased_for_good(lead: Client, demo: ShopInfo) -> None:
    ask_for(demo, "Two bees")
    address = f"/office/orders/{ASKED}/customer/"
    lead.post(address, {"name": "Ada Lov", "reach": "by post"})
    assert "by post" in page(lead)
    unsure = lead.post(address, {"act": "erase"}, follow=True)
    assert "Tick 'for good' as well" in words(unsure.content.decode()).replace("&#x27;", "'")
    lead.post(address, {"act": "erase", "sure": "yes"})
    shown = page(lead)
    assert "Ada Lov" not in shown
    assert "erased for good" in shown
    assert "Ada Lov" not in lead.get("/office/changes/").content.decode()


def test_the_week_moves_an_order_by_a_form_and_says_what_clashes(
    lead: Client, demo: ShopInfo
) -> None:
    agreed(demo, due="2026-12-03")
    shown = lead.get("/office/orders/week/?from=2026-11-25")
    assert shown.context["page"].days[0].day == "2026-11-23"
    said = words(shown.content.decode())
    assert "Boils B and C want a kettle at 10:55; there is 1 kettle." in said
    assert "Maren leads boils B and C at the same time." in said
    assert "may be hot until 13:13; the shift ends 12:30. Light it by 10:12" in said
    moved = {"day": "2026-11-29", "week": "2026-11-23"}
    answer = lead.post(f"/office/orders/{ASKED}/day/", moved)
    assert answer["Location"] == "/office/orders/week/?from=2026-11-23"
    sunday = lead.get(answer["Location"]).context["page"].days[-1]
    assert [one.order.number for one in sunday.orders] == [ASKED]
    assert "The shop is shut on this day." in sunday.clashes
    assert any("had to be made by Fri 27 Nov 2026" in clash for clash in sunday.clashes)


def test_who_is_away_leaves_a_day_without_a_lead(lead: Client, demo: ShopInfo) -> None:
    agreed(demo, due="2026-12-03")
    day = {"day": "2026-11-30", "week": "2026-11-30"}
    lead.post(f"/office/orders/{ASKED}/day/", day)
    week = "/office/orders/week/?from=2026-11-30"
    assert lead.get(week).context["page"].days[0].clashes == [
        f"{ASKED} had to be made by Fri 27 Nov 2026."
    ]
    lead.post("/office/orders/week/hands/", {**day, "here": ["isolde", "pim"]})
    clashes = lead.get(week).context["page"].days[0].clashes
    assert "Nobody who may have a boil works on this day." in clashes
    lead.post("/office/orders/week/hands/", {**day, "here": ["maren", "tobit", "isolde", "pim"]})
    assert len(lead.get(week).context["page"].days[0].clashes) == 1


def test_a_day_the_shop_is_shut_moves_the_last_make_day(lead: Client, demo: ShopInfo) -> None:
    agreed(demo)
    before = words(page(lead))
    assert "Make it by Mon 31 May 2027" in before
    days = {"days": ["0", "1", "2", "3"], "light_up": "07:00", "shift_end": "15:00"}
    given = {**days, "currency": "£", "closed": "2027-06-01\n2027-05-31"}
    assert lead.post("/office/orders/settings/", given).status_code == FOUND
    shown = words(page(lead))
    assert "Make it by Wed 26 May 2027" in shown
    assert "£440.00" in shown
    wrong = lead.post("/office/orders/settings/", {**given, "closed": "Christmas"})
    assert "it must be a day as 2026-12-04" in words(wrong.content.decode())
    over = lead.post("/office/orders/settings/", {"id": "kettles", "value": "99"})
    assert over.status_code == WRONG
    assert "must be from 1 to 12" in over.content.decode()


def many(demo: ShopInfo, count: int) -> None:
    for n in range(count):
        ask_for(demo, f"Bee {n}", f"X-{n:04d}")


def test_a_list_is_paged_and_asks_no_more_of_the_database_the_longer_it_is(
    lead: Client, demo: ShopInfo, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    many(demo, 3)
    with django_assert_num_queries(9):
        lead.get("/office/orders/")
    for n in range(60):
        ask_for(demo, f"Wasp {n}", f"Y-{n:04d}")
    with django_assert_num_queries(9):
        first = lead.get("/office/orders/")
    assert "1 to 50 of 63" in words(first.content.decode())
    second = lead.get(f"/office/orders/?{first.context['page'].after}")
    assert "51 to 63 of 63" in words(second.content.decode())
    found = words(lead.get("/office/orders/?words=wasp+59&show=asked").content.decode())
    assert "1 to 1 of 1" in found
    for odd in ("page=0", "page=x", "page=99", "show=what", "words=%00", "due_by=soon"):
        assert lead.get(f"/office/orders/?{odd}").status_code == OK


def test_a_week_and_an_order_ask_so_many_things_of_the_database_and_no_more(
    lead: Client, demo: ShopInfo, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    many(demo, 30)
    for n in range(30):
        day = f"2026-11-{23 + n % 7}"
        orders.set_make_day(shop_id=demo.id, number=f"X-{n:04d}", day=day)
    lead.get("/office/orders/week/?from=2026-11-23")
    with django_assert_max_num_queries(24):
        lead.get("/office/orders/week/?from=2026-11-23")
    with django_assert_max_num_queries(30):
        lead.get("/office/orders/W-0117/")


def test_nobody_outside_finds_an_order(lead: Client, outsider: Client, demo: ShopInfo) -> None:
    assert lead.get("/office/orders/W-9999/").status_code == GONE
    assert lead.get("/office/orders/new/?customer=nobody").status_code == GONE
    assert outsider.get("/office/orders/W-0117/").status_code == FOUND
