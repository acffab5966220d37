"""What a long hunt found of pages that broke: asked again, each with its own room in its words."""

from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client

from shop.demo.load import ensure
from shop.plan.canonical import canonical
from shop.record.kinds import FAR
from shop.store import batches, incidents
from shop.store.chain import sha256hex
from shop.store.shapes import ShopInfo
from shop.store.shops import give_desk
from tests.store.scene import Phone, add_phone, sheet

BATCH = "demo-handover"
PAGES = ("", "live/", "record.json", "record.csv", "record.pdf", "sheet/", "paper/", "card.pdf")


@pytest.fixture
def demo(db: None, monkeypatch: pytest.MonkeyPatch, tmp_path: Any) -> ShopInfo:
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))
    return ensure()


@pytest.fixture
def desk(demo: ShopInfo, client: Client) -> Client:
    user = User.objects.create_user("office", is_staff=True, is_superuser=True)
    give_desk(shop_id=demo.id, user_id=user.pk)
    client.force_login(user)
    return client


def press(phone: Phone, kind: str, body: dict[str, Any], **more: Any) -> None:
    phone.press(kind, body, batch=BATCH, **more)
    assert phone.push()[0].kept


def all_answer(desk: Client, batch: str) -> None:
    for page in PAGES:
        answer = desk.get(f"/office/batch/{batch}/{page}")
        assert answer.status_code in (200, 404), (page, answer.status_code)
    for page in ("/office/", "/office/boils/", "/office/week/?day=2026-11-25"):
        assert desk.get(page).status_code in (200, 302, 404), page


@pytest.mark.parametrize("name", ["", "a/b"])
def test_a_photo_under_no_name_a_file_can_have(demo: ShopInfo, desk: Client, name: str) -> None:
    press(add_phone(demo), "photo_taken", {"sha256": name, "size": 1, "type": "image/jpeg"})
    all_answer(desk, BATCH)


@pytest.mark.parametrize("moment", [FAR - 1, -FAR + 1])
def test_an_entry_of_no_year_a_calendar_has(demo: ShopInfo, desk: Client, moment: int) -> None:
    phone = add_phone(demo)
    press(phone, "note_written", {"text": "x"}, happened=moment, recorded=moment)
    press(phone, "step_done", {}, step="cook.poured", happened=moment, recorded=moment)
    press(phone, "handover_offered", {"to": "odo", "glance": 0}, happened=moment)
    all_answer(desk, BATCH)


def test_an_injury_of_no_year_a_calendar_has(demo: ShopInfo, desk: Client) -> None:
    incidents.tell(shop_id=demo.id, key="a" * 32, kind="injury", happened=FAR - 1, text="x")
    answer = desk.get("/office/injuries/")
    assert answer.status_code == 200
    assert "no date" in answer.content.decode()


def test_a_sheet_that_a_phone_brought_has_all_its_pages(demo: ShopInfo, desk: Client) -> None:
    text = canonical(sheet("brought", "H"))
    batches.accept_sheet(shop_id=demo.id, name=sha256hex(text.encode()), text=text)
    all_answer(desk, "brought")


@pytest.mark.parametrize("form", [b"&" * 5000, b"a" * 3_000_000])
def test_a_form_far_too_large_for_no_page(db: None, form: bytes) -> None:
    browser = Client(enforce_csrf_checks=True, raise_request_exception=False)
    browser.cookies["csrftoken"] = "k" * 32
    kind = "application/x-www-form-urlencoded"
    answer = browser.post("/office/nowhere/", form, kind, headers={"X-CSRFToken": "k" * 32})
    assert answer.status_code == 404
