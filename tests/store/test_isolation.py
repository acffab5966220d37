"""Two shops in one database: the outsider sees and touches nothing of the loft's."""

import pytest

from shop.store import batches, people, phones, read
from shop.store.access import access_batch, access_device, access_shop, access_token, only_shop
from shop.store.errors import NotHere
from shop.store.shapes import Chain
from shop.store.sheets import sheet_text
from shop.store.verify import broken_links
from tests.store.scene import Loft, sheet


def test_each_shop_counts_its_own_log_and_may_use_the_same_names(
    loft: Loft, outsider: Loft
) -> None:
    loft.kettle.presses(3)
    loft.kettle.push()
    outsider.kettle.presses(5)
    outsider.kettle.push()
    assert (access_shop("loft").head, access_shop("elsewhere").head) == (4, 6)
    ours, theirs = (access_batch(place.shop.id, "b1") for place in (loft, outsider))
    assert (ours.id != theirs.id, ours.sheet == theirs.sheet) == (True, True)
    assert len(read.batch_lines(ours)) == 4
    assert list(broken_links()) == []
    with pytest.raises(NotHere, match="several; say which"):
        only_shop()


def test_a_token_reaches_its_own_shop_only(loft: Loft, outsider: Loft) -> None:
    loft.kettle.press("note_written", {"text": "secret of the loft"})
    loft.kettle.push()
    caller = access_token(outsider.kettle.token)
    seen = read.pull(caller.shop, 0, None)
    assert all("secret of the loft" not in line for line in seen.lines)
    assert {batch.shop_id for batch in seen.batches} == {outsider.shop.id}


def test_nothing_of_another_shop_can_be_named(loft: Loft, outsider: Loft) -> None:
    batches.plan_batch(shop_id=loft.shop.id, sheet=sheet("ours", "C"))
    people.set_person(shop_id=loft.shop.id, key="maren", name="Maren", role="lead maker")
    there = outsider.shop.id
    with pytest.raises(NotHere, match="no batch 'ours'"):
        access_batch(there, "ours")
    with pytest.raises(NotHere, match="no device"):
        access_device(there, loft.kettle.device)
    with pytest.raises(NotHere, match="no phone"):
        phones.lock_out(shop_id=there, device=loft.kettle.device)
    with pytest.raises(NotHere, match="no sheet"):
        sheet_text(there, access_batch(loft.shop.id, "ours").sheet)
    assert people.people(there) == []


def test_another_shops_device_and_batch_are_unknown_to_a_push(loft: Loft, outsider: Loft) -> None:
    loft.kettle.press()
    [answer] = outsider.kettle.push(loft.kettle.chain())
    assert [said.reason for said in answer.aside] == ["device"]
    batches.plan_batch(shop_id=loft.shop.id, sheet=sheet("ours", "C"))
    outsider.kettle.press(batch="ours")
    line = outsider.kettle.made[-1]
    [answer] = outsider.kettle.push(Chain(outsider.kettle.device, 1, (line,)))
    assert [said.reason for said in answer.aside] == ["batch"]
    assert (len(read.asides(loft.shop.id)), len(read.asides(outsider.shop.id))) == (0, 2)
