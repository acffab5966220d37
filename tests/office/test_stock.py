"""The store room at the desk: what lies there, scrap, tracing in two clicks, goods called back."""

import re
from datetime import date
from typing import Any

import pytest
from django.test import Client

from shop.screens.office.stock_words import best_before, wants
from shop.store import deliveries, lot_moves, recall, scrap, stock, trace
from shop.store.facts import refresh
from shop.store.shapes import ShopInfo

GONE = 404
KG = 1_000_000


def page(client: Client, address: str) -> str:
    answer = client.get(f"/office/{address}")
    assert answer.status_code == 200, address
    return " ".join(answer.content.decode().split())


def send(demo: ShopInfo, packs: int, order: str = "") -> None:
    refresh(demo.id)
    deliveries.deliver(
        shop_id=demo.id, batch="demo-finished", order=order, packs=packs, day="2026-12-03"
    )


def test_the_store_room_says_what_is_left_and_what_needs_somebody(
    lead: Client, demo: ShopInfo
) -> None:
    said = page(lead, "store-room/")
    # Two of the three boils took 8.42 kg each of the 25 kg of S118.
    assert re.search(r"S118</a></td>.*?8\.16 kg</td><td class=\"n\">2<", said)
    assert "5 Dec 2026" in said
    assert "runs low" not in said
    lot_moves.use_up(shop_id=demo.id, key="s119", by="pim")
    assert "Sugar runs low: 8.16 kg left, under 20.00 kg." in page(lead, "store-room/")
    lot_moves.hold(shop_id=demo.id, key="g42", why="Bits in it")
    assert "Glucose syrup G42 is held: nobody may use it." in page(lead, "store-room/")


def test_of_many_lots_the_room_shows_the_oldest_and_those_to_see_to(
    lead: Client, demo: ShopInfo
) -> None:
    for n in range(9):
        lot_moves.receive(
            shop_id=demo.id,
            material="sugar",
            mark=f"T{n}",
            supplier="A maker",
            received=f"2027-01-0{n + 1}",
            best_before="",
            amount=KG,
            facts={},
            key=f"t{n}",
            by="pim",
        )
    lot_moves.hold(shop_id=demo.id, key="t7", why="Bits in it")
    said = page(lead, "store-room/")
    listed = re.findall(r">(S11\d|T\d)</a>", said)
    assert listed == ["S118", "S119", "T0", "T1", "T2", "T7"]
    assert "5 younger lots" in said
    assert re.findall(r">(T\d)</a>", page(lead, "store-room/sugar/")) == [f"T{n}" for n in range(9)]


def test_dates_are_said_in_words() -> None:

    info = stock.MaterialInfo("dye", "Dye", "colour", {}, True)
    lot = stock.LotInfo(
        key="dye",
        material="dye",
        name="Dye",
        kind="colour",
        mark="D1",
        supplier="A maker",
        received="2026-01-01",
        best_before="2026-12-05",
        facts={},
        state="open",
        left=1000,
        boils=0,
    )
    days = [date(2026, 10, 1), date(2026, 11, 26), date(2026, 12, 4), date(2026, 12, 5)]
    said = [best_before(lot, day) for day in [*days, date(2026, 12, 6)]]
    assert said == [
        "5 Dec 2026",
        "5 Dec 2026: in 9 days",
        "5 Dec 2026: tomorrow",
        "5 Dec 2026: today",
        "5 Dec 2026: past it",
    ]
    assert wants(info, [lot], date(2026, 12, 5)) == []
    assert wants(info, [lot], date(2026, 12, 6)) == [
        "Dye D1 is past its best before of 5 Dec 2026."
    ]


def test_a_material_is_added_a_lot_comes_in_and_is_used_on_the_next_sheet(
    lead: Client, demo: ShopInfo
) -> None:
    new = {"name": "Cane sugar", "kind": "sugar", "label": "cane sugar", "low": "5"}
    lead.post("/office/store-room/new/", new)
    known = stock.access_material(demo.id, "cane-sugar")
    assert (known.facts["label"], known.low) == ("cane sugar", 5 * KG)
    came: dict[str, Any] = {
        "came": "yes",
        "mark": "K1",
        "supplier": "The mill",
        "received": "2026-11-20",
    }
    came |= {"amount": "12.5", "key": "k1", "allergens": ["milk"]}
    for _ in "twice":
        lead.post("/office/store-room/cane-sugar/", came)
    [lot] = stock.lots(demo.id, material="cane-sugar")
    assert (lot.mark, lot.left, lot.facts) == ("K1", 12_500_000, {"allergens": ["milk"]})
    [cane] = [m for m in stock.for_sheet(demo.id) if m.id == "cane-sugar"]
    assert [one.words for one in cane.lots] == ["K1"]
    wrong = lead.post("/office/store-room/cane-sugar/", {**came, "key": "k2", "amount": "-1"})
    assert "greater than or equal to 0" in wrong.content.decode()


def test_what_a_material_is_changes_and_keeps_what_the_form_does_not_show(
    lead: Client, demo: ShopInfo
) -> None:
    known = stock.access_material(demo.id, "caramel")
    facts = {**known.facts, "warn": ["own"]}
    stock.set_material(shop_id=demo.id, key="caramel", name="Caramel", kind="colour", facts=facts)
    said = {"change": "yes", "name": "Caramel", "kind": "colour", "number": "E 150a"}
    lead.post("/office/store-room/caramel/", {**said, "makes": "brown 60 %, black", "low": "0.01"})
    facts = stock.access_material(demo.id, "caramel").facts
    assert facts["makes"] == {"brown": 600_000, "black": 1_000_000}
    assert (facts["warn"], facts["low"], "label" in facts) == (["own"], 10_000, False)
    for makes in ("brown lots %", "brown 0 %", "brown 120 %", "Dark Brown 3"):
        answer = lead.post("/office/store-room/caramel/", {**said, "makes": makes})
        assert 'class="wrong"' in answer.content.decode(), makes
    assert stock.access_material(demo.id, "caramel").facts == facts


def test_a_lot_is_counted_thrown_held_and_its_papers_kept(lead: Client, demo: ShopInfo) -> None:
    act = "/office/lot/s118/act/"
    lead.post(act, {"act": "counted", "amount": "8", "move": "m1"})
    for _ in "twice":
        lead.post(act, {"act": "thrown", "amount": "0.5", "words": "Wet", "move": "m2"})
    assert stock.access_lot(demo.id, "s118").left == 7_500_000
    lead.post(act, {"act": "held", "words": "Bits of string"})
    assert stock.access_lot(demo.id, "s118").state == "held"
    said = page(lead, "lot/s118/")
    assert "Held: nobody may use it." in said
    assert "held: Bits of string" in said
    # The boil that runs took of it.
    assert "Boil B took of Sugar S118, which is held: set it apart." in page(lead, "")
    lead.post(act, {"act": "released"})
    assert "which is held" not in page(lead, "")
    lead.post("/office/lot/s118/papers/", {"allergens": ["milk"], "made_from": "Beet"})
    lot = stock.access_lot(demo.id, "s118")
    assert (lot.state, lot.facts) == ("open", {"allergens": ["milk"], "from": "beet"})
    wrong = lead.post(act, {"act": "thrown", "amount": "0"}, follow=True).content.decode()
    assert "The amount is 0" in wrong
    wrong = lead.post(act, {"act": "eaten", "amount": "1"}, follow=True).content.decode()
    assert "eaten is not one of the available choices" in wrong
    lead.post(act, {"act": "use-up"})
    assert stock.access_lot(demo.id, "s118").state == "gone"


def test_from_today_a_sack_is_traced_to_its_customers_in_two_clicks(
    lead: Client, demo: ShopInfo
) -> None:
    send(demo, 6)
    today = page(lead, "")
    # The first click: a mark, or part of it, in the box on Today. The second: one of those found.
    form = re.search(r'<form method="get" action="/office/trace/".*?</form>', today)
    assert form is not None
    assert 'name="find"' in form[0]
    found = page(lead, "trace/?find=S11")
    assert 'href="?lot=s118"' in found
    assert 'href="?lot=s119"' in found
    traced = page(lead, "trace/?lot=s118")
    # The demo's order has had its 80 bags.
    assert "Sugar S118: 2 boils, 86 packs out" in traced
    assert "Over the counter" in traced
    assert "An invented customer" in traced
    # What means one thing only is followed at once.
    assert "Sugar S119: 0 boils" in page(lead, "trace/?find=S119")


def test_a_lot_on_a_pack_leads_to_every_sack(lead: Client, demo: ShopInfo) -> None:
    said = page(lead, "trace/?find=L6329A")
    assert "Boil L6329A" in said
    for mark in ("S118", "G41", "C7", "F23", "D31", "D32", "O5", "P12"):
        assert f">{mark}</a>" in said
    assert ">B3</a>" not in said
    assert "Nothing here is called" in page(lead, "trace/?find=L9999Z")
    assert lead.get("/office/trace/?lot=nothing").status_code == GONE


def test_goods_are_called_back_and_worked_through(lead: Client, demo: ShopInfo) -> None:
    send(demo, 6)
    begun = lead.post("/office/called-back/", {"lots": "s118", "why": "Wire", "key": "k"})
    assert begun["Location"] == "/office/called-back/k/"
    assert stock.access_lot(demo.id, "s118").state == "held"
    said = page(lead, "called-back/k/")
    assert "86 packs out, 0 back. 2 not told yet." in said
    # 95 bags, 80 of them sent and 6 sold.
    assert "9 packs of these never went out" in said
    told = {"order": "", "how": "A notice in the window", "packs_back": "2"}
    lead.post("/office/called-back/k/", told)
    said = page(lead, "called-back/k/")
    assert "86 packs out, 2 back. 1 not told yet." in said
    lead.post("/office/called-back/k/", {**told, "order": "W-0117", "packs_back": "80"})
    assert "86 packs out, 82 back. Everybody is told." in page(lead, "called-back/k/")
    assert "A notice in the window; 2 back" in said
    wrong = lead.post("/office/called-back/k/", {**told, "packs_back": "5"}, follow=True)
    assert "Packs back is 5; it must be from 0 to 4." in wrong.content.decode()
    assert "Wire" in page(lead, "called-back/")
    nothing = lead.post("/office/called-back/", {"why": "Nothing", "key": "k2"}, follow=True)
    assert "Lots and boils to call back is 0" in nothing.content.decode()
    assert [one.why for one in recall.recalls(demo.id)] == ["Wire"]


def test_scrap_is_kept_and_the_page_says_where_it_may_go_or_why_not(
    lead: Client, demo: ShopInfo
) -> None:
    said = page(lead, "scrap/")
    assert "head and tail 750 g, dust and chips 326 g, bad pieces, trial cuts 50 g" in said.lower()
    fill = {"boil": "demo-finished", "what": "ends", "kg": "0.75", "key": "t1"}
    for _ in "twice":
        lead.post("/office/scrap/", fill)
    [tin] = scrap.tins(demo.id)
    assert (tin.mg, tin.facts["sour"], tin.facts["allergens"]) == (750_000, 1, [])
    said = page(lead, "scrap/")
    loose = said.split("Weighed and in no tin yet")[1].split("</ul>")[0]
    assert "head and tail" not in loose
    assert "dust and chips 326 g" in loose
    # The planned boil is the same picture again: its white shows what is melted in.
    assert "Not into L6329C" in said
    assert "The boil has sugar that is lighter" in said
    refused = {"boil": "demo-planned", "kg": "0.1", "move": "m1"}
    answer = lead.post("/office/scrap/t1/", refused, follow=True).content.decode()
    assert "sugar that is lighter" in answer
    lead.post("/office/scrap/t1/", {"boil": "", "kg": "0.25", "move": "m2", "words": "Dropped"})
    assert scrap.access_tin(demo.id, "t1").left == 500_000


@pytest.mark.parametrize("address", ["lot/none/", "store-room/none/", "called-back/none/"])
def test_what_is_not_there_is_no_page(lead: Client, address: str) -> None:
    assert lead.get(f"/office/{address}").status_code == GONE


def test_a_planned_boil_takes_the_store_room_with_it(lead: Client, demo: ShopInfo) -> None:
    assert {m.kind for m in stock.for_sheet(demo.id)} == set(stock.KINDS)
    assert trace.onward(demo.id, lots=["s118"]).boils
