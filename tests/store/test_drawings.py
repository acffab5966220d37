"""Pictures: every version stays, undoing only lets another stand, a yes is to what was seen."""

import pytest

from shop.store import drawings
from shop.store.access import access_drawing, access_proof
from shop.store.changes import changes
from shop.store.errors import AlreadyApproved, NotHere, OutOfRange, ProofStale
from shop.store.shapes import DrawingInfo, ProofInfo
from tests.store.scene import Loft, a_version

ORDER = {"rod_um": 14_000, "log_mg": 11_000_000}


def drawn(loft: Loft) -> DrawingInfo:
    return drawings.new_drawing(
        shop_id=loft.shop.id, title="Bee", order=ORDER, first=a_version(), by="greta"
    )


def proved(loft: Loft, key: str, number: int = 1) -> ProofInfo:
    return drawings.new_proof(
        shop_id=loft.shop.id, key=key, number=number, rod_um=14_000, face="<path/>", days=14
    )


def test_each_change_is_a_version_and_undoing_walks_back_the_way_it_came(loft: Loft) -> None:
    shop, key = loft.shop.id, drawn(loft).key
    for what in ("Mended", "Renamed"):
        on = access_drawing(shop, key).current
        drawings.add_version(shop_id=shop, key=key, on=on, version=a_version(what))
    assert drawings.take_back(shop_id=shop, key=key).current == 2
    now = drawings.add_version(shop_id=shop, key=key, on=2, version=a_version("Split"))
    assert now.current == 4
    assert [drawings.take_back(shop_id=shop, key=key).current for _ in range(2)] == [2, 1]
    with pytest.raises(NotHere, match="no version before"):
        drawings.take_back(shop_id=shop, key=key)
    assert [(v.number, v.was, v.what) for v in drawings.history(shop, key)] == [
        *((4, 2, "Split"), (3, 2, "Renamed"), (2, 1, "Mended"), (1, 0, "Drawn"))
    ]


def test_what_was_kept_comes_back_byte_for_byte(loft: Loft) -> None:
    key = drawn(loft).key
    version = drawings.current_version(loft.shop.id, key)
    assert (version.labels, version.choices, version.by) == (b"pixels", {"palette": []}, "greta")


def test_another_shop_reaches_nothing_of_it(loft: Loft, outsider: Loft) -> None:
    key, there = drawn(loft).key, outsider.shop.id
    version = a_version()
    for act in (
        lambda: access_drawing(there, key),
        lambda: drawings.current_version(there, key),
        lambda: drawings.version(there, key, 1),
        lambda: drawings.add_version(shop_id=there, key=key, on=1, version=version),
        lambda: drawings.take_back(shop_id=there, key=key),
        lambda: drawings.set_order(shop_id=there, key=key, title="x", order={}),
        lambda: proved(outsider, key),
    ):
        with pytest.raises(NotHere):
            act()
    assert drawings.drawings(there) == []
    assert drawings.history(there, key) == []
    assert drawings.proofs(there, key) == []


def test_a_proof_stands_until_picture_or_rod_change_and_is_approved_once(loft: Loft) -> None:
    shop, key = loft.shop.id, drawn(loft).key
    proof = proved(loft, key)
    assert (proof.stands, proof.approved_by) == (True, "")
    with pytest.raises(OutOfRange, match="length of the name"):
        drawings.approve(proof=proof.key, name="  ")
    drawings.set_order(shop_id=shop, key=key, title="Bee", order={**ORDER, "log_mg": 9_000_000})
    assert drawings.approve(proof=proof.key, name=" Ada  L ").approved_by == "Ada L"
    with pytest.raises(AlreadyApproved, match="approved already"):
        drawings.approve(proof=proof.key, name="Bob")
    drawings.set_order(shop_id=shop, key=key, title="Bee", order={**ORDER, "rod_um": 20_000})
    assert not access_proof(proof.key).stands


def test_a_changed_picture_needs_another_proof_and_the_one_taken_back_does_not(loft: Loft) -> None:
    shop, key = loft.shop.id, drawn(loft).key
    proof = proved(loft, key)
    drawings.add_version(shop_id=shop, key=key, on=1, version=a_version("Mended"))
    with pytest.raises(ProofStale, match="Ask the shop for a new proof"):
        drawings.approve(proof=proof.key, name="Ada")
    assert access_proof(proof.key).approved_at is None
    drawings.take_back(shop_id=shop, key=key)
    assert drawings.approve(proof=proof.key, name="Ada").approved_at is not None


def test_who_changed_what_tells_of_it(loft: Loft) -> None:
    shop, key = loft.shop.id, drawn(loft).key
    drawings.add_version(shop_id=shop, key=key, on=1, version=a_version("Mended"), by="greta")
    drawings.approve(proof=proved(loft, key, 2).key, name="Ada")
    told = [(c.by, c.what, c.after) for c in changes(shop, most=20) if c.about == "picture Bee"]
    assert ("greta", "Mended", "version 2") in told
    assert ("", "approved", "version 2") in told


@pytest.mark.parametrize("title", ["", "   ", "x" * 81, "a\0b"])
def test_a_title_that_is_none_is_refused_and_nothing_kept(loft: Loft, title: str) -> None:
    with pytest.raises(OutOfRange, match="length of the title"):
        drawings.new_drawing(shop_id=loft.shop.id, title=title, order={}, first=a_version())
    assert drawings.drawings(loft.shop.id) == []
