"""Scrap: kept of finished boils, judged by the rules of rework, melted into a boil or binned."""

from collections.abc import Callable
from typing import Any

import pytest

from shop.models import Batch, ScrapMove
from shop.store import scrap
from shop.store.access import access_batch
from shop.store.errors import NotHere, NotMelted, OutOfRange, PhaseWrong
from shop.store.made import made_of
from shop.store.numbers import change_number
from shop.store.read import batch_report
from tests.store.scene import Loft
from tests.store.stock_scene import KG, boil, cook, fill_room, made

G = 1000


@pytest.fixture
def room(loft: Loft) -> Loft:
    fill_room(loft.shop)
    return loft


def keep(loft: Loft, batch: str, mg: int = KG, **how: Any) -> scrap.TinInfo:
    return scrap.fill(shop_id=loft.shop.id, batch=batch, what="ends", mg=mg, **how)


def into(loft: Loft, tin: scrap.TinInfo, batch: str) -> Any:
    info = access_batch(loft.shop.id, batch)
    return scrap.judged(loft.shop.id, [tin], [info])[tin.key, batch]


def test_a_tin_knows_what_it_is_made_of(room: Loft) -> None:
    made(room.shop, "one", "C", ("sugar", "s118"), ("butter", "b1"))
    tin = keep(room, "one", spoilt="", by="maren")
    assert tin.facts == {
        **{"sour": 1, "flavour": "quince", "swatch": "#4a2811"},
        **{"allergens": ["milk"], "spoilt": ""},
    }
    assert (tin.lot, tin.left) == ("L-one", KG)


def test_only_what_is_done_is_kept_and_no_more_than_there_was(room: Loft) -> None:
    boil(room.shop, "one")
    with pytest.raises(PhaseWrong, match="Batch one is planned"):
        keep(room, "one")
    cook(room.shop, "one", "C")
    keep(room, "one", 9 * KG)
    with pytest.raises(OutOfRange, match=r"The mass \[mg\] is 1000001"):
        keep(room, "one", KG + 1)
    with pytest.raises(NotHere, match="no kind of scrap 'crumbs'"):
        scrap.fill(shop_id=room.shop.id, batch="one", what="crumbs", mg=1)
    assert keep(room, "one", KG, key="form").key == keep(room, "one", KG, key="form").key
    assert [tin.mg for tin in scrap.tins(room.shop.id, batch="one")] == [9 * KG, KG]


def test_scrap_goes_into_a_boil_like_it_up_to_its_share(room: Loft) -> None:
    made(room.shop, "one", "C")
    tin = keep(room, "one")
    boil(room.shop, "two", "D")
    # 5 % of a charge of 10 kg.
    assert (into(room, tin, "two").most, into(room, tin, "two").mind) == (500 * G, ())
    scrap.melt(shop_id=room.shop.id, key=tin.key, batch="two", mg=300 * G, by="maren")
    assert into(room, scrap.access_tin(room.shop.id, tin.key), "two").most == 200 * G
    with pytest.raises(OutOfRange, match="is 200001; it must be from 1 to 200000"):
        scrap.melt(shop_id=room.shop.id, key=tin.key, batch="two", mg=200 * G + 1)
    scrap.melt(shop_id=room.shop.id, key=tin.key, batch="two", mg=200 * G)
    with pytest.raises(NotMelted, match="has its 5 % of scrap already"):
        scrap.melt(shop_id=room.shop.id, key=tin.key, batch="two", mg=1)
    kept = batch_report(access_batch(room.shop.id, "two"))["kept"]
    assert kept["melted"] == [{"lot": "L-one", "mg": 500 * G}]
    moved = scrap.moved(room.shop.id, tin.key)
    assert [(move.mg, move.lot) for move in moved] == [(200 * G, "L-two"), (300 * G, "L-two")]
    assert sum(move.mg for move in moved) + scrap.access_tin(room.shop.id, tin.key).left == tin.mg


def test_its_allergens_and_ingredients_go_with_it(room: Loft) -> None:
    made(room.shop, "one", "C", ("sugar", "s118"), ("butter", "b1"))
    tin = keep(room, "one")
    # The other boil has milk of its own: butter again.
    boil(room.shop, "two", "D")
    cook(room.shop, "two", "D", ("sugar", "s119"), ("butter", "b1"), close=False)
    scrap.melt(shop_id=room.shop.id, key=tin.key, batch="two", mg=400 * G)
    made_two = made_of(access_batch(room.shop.id, "two"))
    [melted] = made_two.melted
    assert (melted.lot, melted.mg) == ("L-one", 400 * G)
    # Its sugar and syrup weigh what it weighs, to the milligram each is rounded to.
    assert abs(sum(i.mg or 0 for i in melted.ingredients) - melted.mg) <= len(melted.ingredients)
    whole = {i.material: i for i in made_two.all_ingredients()}
    assert whole["sugar"].lots == ("s119", "s118")
    assert whole["sugar"].mg == 8 * KG + round(400 * G * 8 / 11)
    assert made_two.allergens() == {"milk"}
    assert "Scrap of L-one: Syrup: nobody said which lot." in made_two.gaps


@pytest.mark.parametrize(
    ("scrap_of", "boil_is", "why"),
    [
        ({}, {"sour": 0}, "It is sour, the boil is not sour."),
        ({"sour": 0}, {}, "It is not sour, the boil is sour."),
        ({}, {"swatches": ("yellow",)}, "lighter: Yellow"),
        ({}, {"swatches": ("brown", "yellow")}, "lighter: Yellow"),
    ],
)
def test_what_is_not_like_it_is_refused(
    room: Loft, scrap_of: dict[str, Any], boil_is: dict[str, Any], why: str
) -> None:
    made(room.shop, "one", "C", **scrap_of)
    tin = keep(room, "one")
    boil(room.shop, "two", "D", **boil_is)
    with pytest.raises(NotMelted, match=why):
        scrap.melt(shop_id=room.shop.id, key=tin.key, batch="two", mg=1)
    assert not ScrapMove.objects.exists()


def test_allergens_must_be_the_same_whichever_has_more(room: Loft) -> None:
    made(room.shop, "one", "C", ("butter", "b1"))
    made(room.shop, "two", "D")
    boil(room.shop, "three", "E")
    with_milk, without = keep(room, "one"), keep(room, "two")
    assert into(room, with_milk, "three").why_not == ("Its allergens are milk, the boil's none.",)
    assert into(room, without, "three").most > 0
    cook(room.shop, "three", "E", ("butter", "b1"), close=False)
    assert into(room, with_milk, "three").most > 0
    assert into(room, without, "three").why_not == ("Its allergens are none, the boil's milk.",)


def test_spoilt_scrap_and_floor_sweepings_are_only_binned(room: Loft) -> None:
    made(room.shop, "one", "C")
    boil(room.shop, "two", "D")
    glass = keep(room, "one", spoilt="glass or blade damage")
    floor = scrap.fill(shop_id=room.shop.id, batch="one", what="floor", mg=100 * G)
    assert into(room, glass, "two").why_not == ("It is spoilt: glass or blade damage.",)
    assert into(room, floor, "two").why_not == ("Floor sweepings are never melted back.",)
    scrap.put_in_bin(shop_id=room.shop.id, key=glass.key, mg=KG, words="Skip", move="form")
    scrap.put_in_bin(shop_id=room.shop.id, key=glass.key, mg=KG, words="Skip", move="form")
    assert [tin.key for tin in scrap.tins(room.shop.id)] == [floor.key]


def test_another_taste_is_said_and_no_reason_against_it(room: Loft) -> None:
    made(room.shop, "one", "C")
    boil(room.shop, "two", "D", flavour="mint")
    judged = into(room, keep(room, "one"), "two")
    assert (judged.most, judged.mind) == (500 * G, ("It tastes of quince.",))


def test_no_boil_gets_scrap_that_is_made_of_itself(room: Loft) -> None:
    made(room.shop, "one", "C")
    boil(room.shop, "two", "D")
    tin = keep(room, "one")
    scrap.melt(shop_id=room.shop.id, key=tin.key, batch="two", mg=100 * G)
    # Its closing is struck: the boil the scrap is of goes on.
    Batch.objects.filter(shop_id=room.shop.id, key="one").update(phase="open")
    cook(room.shop, "two", "D")
    own = scrap.fill(shop_id=room.shop.id, batch="two", what="ends", mg=KG)
    with pytest.raises(NotMelted, match="made of L-one itself"):
        scrap.melt(shop_id=room.shop.id, key=own.key, batch="one", mg=1)
    with pytest.raises(NotMelted, match="made of L-one itself"):
        scrap.melt(shop_id=room.shop.id, key=tin.key, batch="one", mg=1)


def test_a_boil_that_is_done_gets_none(room: Loft) -> None:
    made(room.shop, "one", "C")
    made(room.shop, "two", "D")
    tin = keep(room, "one")
    with pytest.raises(PhaseWrong, match="Batch two is closed"):
        scrap.melt(shop_id=room.shop.id, key=tin.key, batch="two", mg=1)


def test_the_share_is_the_shops_own(room: Loft) -> None:
    made(room.shop, "one", "C")
    boil(room.shop, "two", "D")
    change_number(
        shop_id=room.shop.id,
        key="rework_share",
        value=20_000,
        unit="ppm",
        source="Ours",
        low=0,
        high=100_000,
    )
    assert into(room, keep(room, "one"), "two").most == 200 * G


def test_another_shop_has_no_tin_of_ours(room: Loft, outsider: Loft) -> None:
    made(room.shop, "one", "C")
    tin = keep(room, "one")
    there = outsider.shop.id
    assert not scrap.tins(there)
    assert not scrap.moved(there, tin.key)
    acts: tuple[Callable[[], object], ...] = (
        lambda: scrap.access_tin(there, tin.key),
        lambda: scrap.put_in_bin(shop_id=there, key=tin.key, mg=1),
        lambda: scrap.melt(shop_id=there, key=tin.key, batch="b1", mg=1),
        lambda: scrap.fill(shop_id=there, batch="one", what="ends", mg=1),
    )
    for act in acts:
        with pytest.raises(NotHere, match="There is no"):
            act()
