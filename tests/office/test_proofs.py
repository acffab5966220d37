"""A proof: seen by whoever has its link, approved once, only while it is what will be made."""

import re
from pathlib import Path

import pytest
from django.core import signing
from django.test import Client

from shop.screens.office.picture_asks import opened
from shop.screens.office.proof import SIGNER, link_of, token_of
from shop.store import customers, drawings, orders
from shop.store.shapes import ProofInfo, ShopInfo
from tests.office.asks import a_picture
from tests.office.test_languages import desk_of
from tests.store.kept import kept

OK, FOUND, GONE, RUN_OUT, WRONG_WAY = 200, 302, 404, 410, 405
FIGURES = re.compile("<figure.*?</figure>", re.S)
YES = {"seen": "on", "varies": "on", "name": "Ada L"}


@pytest.fixture
def proof(
    lead: Client, demo: ShopInfo, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> ProofInfo:
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))
    key = a_picture(demo)
    opened(demo, key).seen().result(120)
    lead.post(f"/office/pictures/{key}/proof/")
    return drawings.proofs(demo.id, key)[0]


def test_the_customer_sees_three_views_without_an_account_and_approves_once(
    proof: ProofInfo, lead: Client
) -> None:
    customer, link = Client(), link_of(proof)
    page = customer.get(link).content.decode()
    assert page.count("<svg") >= 5
    assert 'width="14mm"' in page
    assert "mirrored" in page
    assert "Star" in page
    assert "no-store" in customer.get(link)["Cache-Control"]
    assert customer.post(link, YES)["Location"] == link
    after = customer.get(link).content.decode()
    assert "By Ada L" in after
    assert "<form" not in after
    assert "approved already" in customer.post(link, {**YES, "name": "Bob"}).content.decode()
    shown = lead.get(f"/office/pictures/{proof.drawing}/").content.decode()
    assert "approved by Ada L" in shown
    assert link in shown


@pytest.mark.parametrize("missing", YES)
def test_a_yes_without_all_of_it_is_none(proof: ProofInfo, missing: str) -> None:
    said = {key: value for key, value in YES.items() if key != missing}
    before = kept()
    assert "This field is required" in Client().post(link_of(proof), said).content.decode()
    assert kept() == before


def test_a_changed_picture_is_told_and_takes_no_yes(
    proof: ProofInfo, lead: Client, demo: ShopInfo
) -> None:
    lead.post(f"/office/pictures/{proof.drawing}/change/", {"act": "undo"})
    before = kept()
    assert "has changed the picture since" in Client().get(link_of(proof)).content.decode()
    assert "Ask the shop for a new proof" in Client().post(link_of(proof), YES).content.decode()
    assert kept() == before
    shown = lead.get(f"/office/pictures/{proof.drawing}/").content.decode()
    assert "changed since: no answer is taken any more" in shown


def test_what_was_shown_stays_what_was_shown(
    proof: ProofInfo, lead: Client, demo: ShopInfo
) -> None:
    was = FIGURES.findall(Client().get(link_of(proof)).content.decode())
    lead.post(f"/office/pictures/{proof.drawing}/change/", {"act": "undo"})
    lead.post("/office/numbers/", {"id": "rounding", "value": "5"})
    assert FIGURES.findall(Client().get(link_of(proof)).content.decode()) == was
    assert len(was) == 4


def test_a_link_runs_out_by_itself_counted_from_when_the_proof_was_made(
    proof: ProofInfo, lead: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    end = proof.at + proof.days * 86_400_000
    link, before = link_of(proof), kept()
    for now, status in ((end - 1, OK), (end, RUN_OUT)):
        monkeypatch.setattr("shop.screens.office.proof.now_ms", lambda now=now: now)
        assert Client().get(link).status_code == status
        # Looking at it in the office does not lengthen it.
        assert link in lead.get(f"/office/pictures/{proof.drawing}/").content.decode()
    late = Client().post(link, YES)
    assert (late.status_code, "Star" in late.content.decode()) == (RUN_OUT, False)
    assert kept() == before


def forged(proof: ProofInfo) -> list[str]:
    """What somebody could try who has a link of their own, or none."""
    good = token_of(proof)
    return [
        good[:-1] + ("A" if good[-1] != "A" else "B"),
        good.split(":")[0],
        signing.Signer(salt="another").sign_object(proof.key),
        signing.Signer(key="another key", salt=SIGNER.salt).sign_object(proof.key),
        SIGNER.sign_object("0" * 24),
        SIGNER.sign_object({"key": proof.key}),
        SIGNER.sign_object("\0"),
        proof.key,
        "x",
    ]


def test_nobody_guesses_or_forges_a_link(proof: ProofInfo) -> None:
    before = kept()
    for token in forged(proof):
        for answer in (Client().get(f"/proof/{token}/"), Client().post(f"/proof/{token}/", YES)):
            assert answer.status_code == GONE, token
            assert "Star" not in answer.content.decode()
    assert kept() == before


def test_a_proof_opens_nothing_else(proof: ProofInfo) -> None:
    """No session, no office, and a post needs its own page's token."""
    customer = Client()
    customer.get(link_of(proof))
    assert "sessionid" not in customer.cookies
    assert customer.get("/office/")["Location"].startswith("/office/sign-in/")
    strict = Client(enforce_csrf_checks=True)
    before = kept()
    assert strict.post(link_of(proof), YES).status_code == 403
    assert customer.put(link_of(proof)).status_code == WRONG_WAY
    assert kept() == before


def test_two_proofs_of_one_picture_are_told_apart(
    proof: ProofInfo, lead: Client, demo: ShopInfo
) -> None:
    lead.post(f"/office/pictures/{proof.drawing}/proof/")
    new, old = drawings.proofs(demo.id, proof.drawing)
    assert (old.key, link_of(new) != link_of(old)) == (proof.key, True)
    Client().post(link_of(new), YES)
    approved = [p.approved_by for p in drawings.proofs(demo.id, proof.drawing)]
    assert approved == ["Ada L", ""]


def test_where_a_name_was_erased_plain_words_stand_and_the_yes_stays(
    proof: ProofInfo, lead: Client, demo: ShopInfo
) -> None:
    customer, link, desk = Client(), link_of(proof), f"/office/pictures/{proof.drawing}/"
    customer.post(link, YES)
    who = {"customer": "", "who": ("Ada Lov", "by post"), "drawing": proof.drawing}
    made = orders.new_order(shop_id=demo.id, number="W-0900", title="Star", said={}, **who)  # type: ignore[arg-type]
    customers.erase(shop_id=demo.id, key=made.customer.key, by="pim")
    german = desk_of(demo, "anna", "de")
    pages = [client.get(desk).content.decode() for client in (lead, german)]
    pages += [customer.get(link).content.decode(), lead.get("/office/changes/").content.decode()]
    assert re.search(r"approved \d+ \w+ \d{4}, [0-9:]+; the name is erased", pages[0])
    assert re.search(r"freigegeben [^;<]+; der Name ist gelöscht", pages[1])
    assert "; the name is erased. The shop keeps this version" in pages[2]
    assert "<form" not in pages[2]
    assert all("Ada" not in page for page in pages)
    assert "approved already" in customer.post(link, YES).content.decode()
