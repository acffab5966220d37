"""Materials and lots: what is left is what was moved less what boils took; held ones stay out."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.models import Batch, LotUse
from shop.record.made import split
from shop.store import lot_moves, lots, stock
from shop.store.access import access_batch
from shop.store.changes import changes
from shop.store.errors import NotHere, OutOfRange
from shop.store.facts import refresh
from shop.store.made import made_of
from shop.store.read import batch_sheet, batch_state
from tests.store.scene import Loft
from tests.store.stock_scene import KG, boil, cook, fill_room, left, made, say, used

SACK = 25 * KG


@pytest.fixture
def room(loft: Loft) -> Loft:
    fill_room(loft.shop)
    return loft


def test_a_lot_comes_is_counted_thrown_sent_back_and_used_up(room: Loft) -> None:
    shop = room.shop.id
    assert left(room.shop, "s118") == SACK
    assert lot_moves.count(shop_id=shop, key="s118", left=20 * KG, by="pim").left == 20 * KG
    out = lot_moves.take_out(shop_id=shop, key="s118", amount=3 * KG, why="thrown", words="Wet")
    assert out.left == 17 * KG
    sent = lot_moves.take_out(shop_id=shop, key="s118", amount=2 * KG, why="sent-back")
    assert sent.left == 15 * KG
    gone = lot_moves.use_up(shop_id=shop, key="s118")
    assert (gone.left, gone.state) == (0, "gone")
    told = [(move.why, move.amount) for move in lot_moves.moves(shop, "s118")]
    assert told == [
        ("counted", -15 * KG),
        ("sent-back", -2 * KG),
        ("thrown", -3 * KG),
        ("counted", -5 * KG),
        ("received", SACK),
    ]
    # However it went, all of it is told: the moves add up to what is left.
    assert sum(amount for _, amount in told) == gone.left


def test_what_is_left_is_what_came_less_what_boils_took(room: Loft) -> None:
    made(room.shop, "one", "C", ("sugar", "s118"), ("syrup", "g7"))
    made(room.shop, "two", "D", ("sugar", "s118"))
    assert (left(room.shop, "s118"), left(room.shop, "g7")) == (SACK - 16 * KG, SACK - 3 * KG)
    # Counting says what lies there now, whatever the boils took.
    assert lot_moves.count(shop_id=room.shop.id, key="s118", left=8 * KG).left == 8 * KG
    made(room.shop, "three", "E", ("sugar", "s118"))
    assert left(room.shop, "s118") == 0
    assert [one.batch.key for one in lots.taken(room.shop.id, "s118")] == ["three", "two", "one"]


def test_two_sacks_of_one_boil_share_what_was_weighed_unless_it_was_said(room: Loft) -> None:
    made(room.shop, "one", "C", ("sugar", "s118"), ("sugar", "s119"))
    uses = used(room.shop)
    assert uses == {("one", "s118"): 4 * KG, ("one", "s119"): 4 * KG}
    boil(room.shop, "two", "D")
    cook(room.shop, "two", "D", close=False)
    say(room.shop, "two", "lot_used", material="sugar", lot="s118", mg=1 * KG)
    say(room.shop, "two", "lot_used", material="sugar", lot="s119", also=1)
    uses = used(room.shop)
    assert (uses["two", "s118"], uses["two", "s119"]) == (1 * KG, 7 * KG)


def test_what_nobody_weighed_is_used_all_the_same(room: Loft) -> None:
    made(room.shop, "one", "C", ("butter", "b1"))
    assert used(room.shop) == {("one", "b1"): None}
    assert left(room.shop, "b1") == SACK
    assert stock.access_lot(room.shop.id, "b1").boils == 1


def test_a_lot_that_is_struck_was_never_used(room: Loft) -> None:
    room.kettle.press("lot_used", {"material": "sugar", "lot": "s118"})
    room.kettle.push()
    assert ("b1", "s118") in used(room.shop)
    room.kettle.press("struck", {"target": f"{room.kettle.device}:1", "reason": "other sack"})
    room.kettle.push()
    assert used(room.shop) == {}
    assert left(room.shop, "s118") == SACK


def test_folding_again_changes_no_use(room: Loft) -> None:
    made(room.shop, "one", "C", ("sugar", "s118"), ("syrup", "g7"))
    refresh(room.shop.id)
    rows = list(LotUse.objects.values_list("pk", flat=True))
    row = Batch.objects.get(key="one")
    info = access_batch(room.shop.id, "one")
    lots.keep_uses(row, batch_sheet(info), batch_state(info))
    assert list(LotUse.objects.values_list("pk", flat=True)) == rows
    assert len(rows) == 2


def test_a_lot_nobody_knows_is_told_in_the_boil_and_is_no_use_of_any(room: Loft) -> None:
    made(room.shop, "one", "C", ("sugar", "s999"))
    assert used(room.shop) == {}
    [sugar] = [
        i for i in made_of(access_batch(room.shop.id, "one")).ingredients if i.kind == "sugar"
    ]
    assert sugar.lots == ("s999",)


def test_new_sheets_name_open_lots_oldest_first_and_no_held_one(room: Loft) -> None:
    [sugar] = [m for m in stock.for_sheet(room.shop.id) if m.id == "sugar"]
    assert [lot.id for lot in sugar.lots] == ["s118", "s119"]
    lot_moves.hold(shop_id=room.shop.id, key="s118", why="Bits of string in it", by="pim")
    [sugar] = [m for m in stock.for_sheet(room.shop.id) if m.id == "sugar"]
    assert [lot.id for lot in sugar.lots] == ["s119"]
    lot_moves.release(shop_id=room.shop.id, key="s118", why="Only the bag's own")
    [sugar] = [m for m in stock.for_sheet(room.shop.id) if m.id == "sugar"]
    assert [lot.id for lot in sugar.lots] == ["s118", "s119"]
    assert [move.why for move in lot_moves.moves(room.shop.id, "s118")][:2] == ["released", "held"]


def test_boils_that_run_are_told_of_a_held_lot_once(room: Loft) -> None:
    for key, letter in (("runs", "C"), ("done", "D")):
        boil(room.shop, key, letter)
    cook(room.shop, "runs", "C", ("sugar", "s118"), close=False)
    cook(room.shop, "done", "D", ("sugar", "s118"))
    refresh(room.shop.id)
    for _ in "twice":
        lot_moves.hold(shop_id=room.shop.id, key="s118", why="Bits of string", by="pim")
    owed = {k: batch_state(access_batch(room.shop.id, k))["owed"] for k in ("runs", "done", "b1")}
    assert [one["text"] for one in owed["runs"] if one["text"]] == [
        "Sugar S118 is held: Bits of string"
    ]
    assert not [one for key in ("done", "b1") for one in owed[key] if one["text"]]


def test_a_lots_own_papers_reach_the_boils_that_took_of_it(room: Loft) -> None:
    made(room.shop, "one", "C", ("sugar", "s118"), ("syrup", "g7"), ("butter", "b1"))
    made_one = made_of(access_batch(room.shop.id, "one"))
    facts = {i.material: i.facts for i in made_one.ingredients}
    assert facts["syrup"]["from"] == "wheat"
    assert made_one.allergens() == {"milk"}
    lot_moves.set_papers(shop_id=room.shop.id, key="s118", facts={"allergens": ["nuts"]}, by="pim")
    assert made_of(access_batch(room.shop.id, "one")).allergens() == {"milk", "nuts"}
    assert changes(room.shop.id, most=1)[0].about == "lot S118"


@pytest.mark.parametrize("amount", [0, -1, 10**11 + 1])
def test_nothing_comes_in_that_is_no_amount(room: Loft, amount: int) -> None:
    with pytest.raises(OutOfRange, match=f"The amount is {amount}"):
        lot_moves.receive(
            shop_id=room.shop.id,
            material="sugar",
            mark="S120",
            supplier="A mill",
            received="2026-11-20",
            amount=amount,
        )
    assert len(stock.lots(room.shop.id, material="sugar")) == 2


def test_the_same_form_sent_twice_moves_nothing_twice(room: Loft) -> None:
    shop = room.shop.id
    for _ in "twice":
        lot_moves.take_out(shop_id=shop, key="s118", amount=KG, why="thrown", move="form1")
        lot_moves.receive(
            shop_id=shop,
            material="sugar",
            mark="S120",
            supplier="A mill",
            received="2026-11-20",
            amount=SACK,
            key="form2",
        )
    assert left(room.shop, "s118") == SACK - KG
    assert left(room.shop, "form2") == SACK


def test_a_part_of_a_mark_finds_its_lot_and_nothing_of_another_shop(
    room: Loft, outsider: Loft
) -> None:
    assert [lot.mark for lot in stock.find_lots(room.shop.id, "s11", most=9)] == ["S119", "S118"]
    assert [lot.mark for lot in stock.find_lots(room.shop.id, "butter", most=9)] == ["B1"]
    there = outsider.shop.id
    assert stock.find_lots(there, "s11", most=9) == stock.lots(there) == []
    for read in (stock.materials, stock.for_sheet):
        assert read(there) == []
    for told in (lot_moves.moves, lots.taken):
        assert told(there, "s118") == []
    assert lots.facts_of(there, ["g7"]) == {}
    for act in (
        lambda: stock.access_lot(there, "s118"),
        lambda: stock.access_material(there, "sugar"),
        lambda: lot_moves.count(shop_id=there, key="s118", left=0),
        lambda: lot_moves.hold(shop_id=there, key="s118", why="No"),
    ):
        with pytest.raises(NotHere, match="There is no"):
            act()


def test_another_shops_lot_is_no_use_of_ours(room: Loft, outsider: Loft) -> None:
    """Its id may be the same text; what is taken here is taken here."""
    fill_room(outsider.shop)
    made(room.shop, "one", "C", ("sugar", "s118"))
    refresh(outsider.shop.id)
    assert left(outsider.shop, "s118") == SACK
    assert left(room.shop, "s118") == SACK - 8 * KG


@given(mg=st.integers(0, 10**9), parts=st.integers(1, 7))
def test_a_split_loses_nothing(mg: int, parts: int) -> None:
    found = split(mg, parts)
    assert (len(found), sum(found)) == (parts, mg)
    assert max(found) - min(found) <= 1
