"""The name typed under a proof goes with the customer; that there was a yes, and when, stays.

The database's file itself is searched, as in test_customers_erased.py.
"""

from pathlib import Path

import pytest

from shop.models import ApprovalName, ProofApproval
from shop.store import customers, drawings, orders
from shop.store.access import access_proof
from shop.store.changes import changes
from shop.store.erasing import removed
from shop.store.errors import AlreadyApproved
from shop.store.order_reading import access_order
from shop.store.shapes import ProofInfo
from tests.programs import beside
from tests.store.scene import Loft, a_version


def approved(loft: Loft, title: str) -> ProofInfo:
    """A picture with a proof that somebody said yes to."""
    shop = loft.shop.id
    drawn = drawings.new_drawing(shop_id=shop, title=title, order={}, first=a_version())
    shown = {"number": 1, "rod_um": 14_000, "face": "<path/>", "days": 14}
    proof = drawings.new_proof(shop_id=shop, key=drawn.key, **shown)  # type: ignore[arg-type]
    return drawings.approve(proof=proof.key, name=f"of {title}")


def ordered(loft: Loft, number: str, who: str, picture: ProofInfo) -> str:
    """An order of this picture, of somebody new or known; the customer's key."""
    known = customers.customers(loft.shop.id, named=who, most=1)
    whose = {"customer": known[0].key} if known else {"customer": "", "who": (who, "by post")}
    said = {"title": "Bee", "said": {"rod_um": 14_000}, "drawing": picture.drawing}
    made = orders.new_order(shop_id=loft.shop.id, number=number, **whose, **said)  # type: ignore[arg-type]
    return made.customer.key


def test_the_names_under_every_picture_of_theirs_go_and_all_others_stay(
    loft: Loft, outsider: Loft
) -> None:
    first, now, shared, other, free = (
        approved(loft, title) for title in ("first", "now", "shared", "other", "free")
    )
    there = approved(outsider, "there")
    ada = ordered(loft, "W-1", "Ada", first)
    ordered(loft, "W-2", "Ada", shared)
    ordered(loft, "W-3", "Bo", shared)
    ordered(loft, "W-4", "Bo", other)
    ordered(outsider, "W-1", "Bo", there)
    how = {"title": "Bee", "said": {"rod_um": 14_000}, "drawing": now.drawing}
    orders.change_order(shop_id=loft.shop.id, number="W-1", seen=1, **how)  # type: ignore[arg-type]
    customers.erase(shop_id=loft.shop.id, key=ada, by="pim")
    for proof in (first, now, shared):
        left = access_proof(proof.key)
        assert (left.approved_by, left.approved_at) == ("", proof.approved_at)
    for proof in (other, free, there):
        assert access_proof(proof.key) == proof
    assert ProofApproval.objects.count() == 6
    # A yes is a yes, whoever said it: to the order, and to who tries to say it again.
    assert access_order(loft.shop.id, "W-1").approved
    with pytest.raises(AlreadyApproved):
        drawings.approve(proof=now.key, name="Ada")


def test_who_changed_what_never_heard_the_name(loft: Loft) -> None:
    picture = approved(loft, "Bee")
    customers.erase(shop_id=loft.shop.id, key=ordered(loft, "W-1", "Ada", picture), by="pim")
    told = changes(loft.shop.id, most=50)
    assert ("picture Bee", "approved", "version 1") in [(c.about, c.what, c.after) for c in told]
    assert "of Bee" not in str(told)


def test_a_customer_without_a_picture_takes_no_name_along(loft: Loft) -> None:
    proof = approved(loft, "Bee")
    made = orders.new_order(
        shop_id=loft.shop.id, number="W-1", customer="", title="Bee", said={}, who=("Ada", "x")
    )
    customers.erase(shop_id=loft.shop.id, key=made.customer.key, by="pim")
    assert access_proof(proof.key) == proof


def test_only_the_rows_named_are_removed(loft: Loft) -> None:
    for title in ("one", "two", "three"):
        approved(loft, title)
    one, two, three = ApprovalName.objects.order_by("pk")
    removed(ApprovalName, {two.pk})
    assert list(ApprovalName.objects.order_by("pk")) == [one, three]
    assert [row.approval for row in (one, three)] == list(ProofApproval.objects.all()[::2])


WHO = """
import random
from django.core.management import call_command
from django.db import connection
from shop.store import customers, drawings, orders
from shop.store.access import access_proof
from shop.store.shops import create_shop
from tests.store.scene import a_version

call_command("migrate", verbosity=0)
shop = create_shop(slug="loft", name="Loft").id
path = str(connection.settings_dict["NAME"])

def on_disk(token):
    files = [open(name, "rb").read() for name in (path, path + "-wal")]
    return any(token.encode() in found for found in files)

answer = {"left": [], "unseen": [], "lost": [], "erased": 0, "emptied": 0}
chance, there = random.Random(SEED), {}
for n in range(STEPS):
    names, proofs = [], []
    how = {"shop_id": shop, "title": "Bee", "order": {}, "first": a_version()}
    picture = drawings.new_drawing(**how).key
    for _ in range(chance.choice([1, 1, 4])):
        token = f"w{chance.getrandbits(80):020x}"
        names.append((token + chance.choice(["", "€", token]) * 60)[:80])
        shown = {"number": 1, "rod_um": 14_000, "face": "<path/>", "days": 14}
        proofs.append(drawings.new_proof(shop_id=shop, key=picture, **shown).key)
        drawings.approve(proof=proofs[-1], name=names[-1])
        answer["unseen"] += [] if on_disk(token) else [n]
    who = {"customer": "", "who": ("x", "by post"), "title": "Bee", "said": {}}
    made = orders.new_order(shop_id=shop, number=f"W-{n}", drawing=picture, **who)
    there[made.customer.key] = (names, proofs)
    while there and chance.random() < 0.45:
        gone = chance.choice(sorted(there))
        answer["emptied"] += customers.erase(shop_id=shop, key=gone, by="pim")
        names, proofs = there.pop(gone)
        answer["left"] += [name for name in names if on_disk(name[:21])]
        answer["lost"] += [key for key in proofs if access_proof(key).approved_at is None]
        answer["erased"] += 1
for names, proofs in there.values():
    found = [access_proof(key).approved_by for key in proofs]
    answer["lost"] += [] if found == names else [found]
"""


@pytest.mark.own_engine
@pytest.mark.parametrize(
    ("seed", "steps"), [(10, 80), pytest.param(3, 400, marks=pytest.mark.long)]
)
def test_a_typed_name_that_was_erased_is_in_no_file_and_every_other_stays(
    tmp_path: Path, seed: int, steps: int
) -> None:
    code = WHO.replace("SEED", str(seed)).replace("STEPS", str(steps))
    found = beside(tmp_path, code)
    assert found["unseen"] == [], "the search itself finds nothing"
    assert found["left"] == []
    assert found["lost"] == []
    assert found["erased"] == found["emptied"] >= steps // 3
