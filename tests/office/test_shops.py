"""A company with two shops: what each desk opens, what is shared, what is not."""

import pytest
from django.test import Client
from django.urls import reverse

from shop.store import batches, numbers, phones, shops
from shop.store.access import access_batch, desk_shops
from shop.store.append import office_event
from shop.store.shapes import ShopInfo
from tests.office.conftest import user_of
from tests.office.test_desk import order
from tests.store.scene import sheet

OK, FOUND, FORBIDDEN, GONE = 200, 302, 403, 404


@pytest.fixture
def second(demo: ShopInfo) -> ShopInfo:
    """Another shop of the company, with an open boil."""
    shop = shops.create_shop(slug="second", name="The second loft")
    batches.open_batch(shop_id=shop.id, sheet=sheet(), lead="maren")
    return shop


@pytest.fixture
def company(demo: ShopInfo, second: ShopInfo, client: Client) -> Client:
    """Whoever runs the company's office."""
    client.force_login(user_of("company", demo, second, runs_the_company=True))
    return client


@pytest.fixture
def neighbour(second: ShopInfo) -> Client:
    """A desk of the second shop alone."""
    client = Client()
    client.force_login(user_of("neighbour", second))
    return client


def test_with_several_shops_a_page_asks_which(company: Client) -> None:
    assert company.get("/office/")["Location"] == "/office/shops/"
    page = company.get("/office/shops/").content.decode()
    assert "The second loft" in page
    assert "handover offered, not yet taken" in page
    assert 'href="/at/second/office/"' in page


def test_a_shops_own_pages_link_to_itself_and_work_there(company: Client, demo: ShopInfo) -> None:
    page = company.get("/at/second/office/").content.decode()
    assert "L-b1" in page
    assert 'href="/at/second/office/plan/"' in page
    assert "demo-finished" not in page
    made = company.post("/at/demo/office/plan/", order())
    assert made["Location"] == "/at/demo/office/batch/L7020D-W-0118/sheet/"
    assert access_batch(demo.id, "L7020D-W-0118").title == "Beehive again"
    # The next request without a shop in its address is not taken for the last one's.
    assert company.get("/office/")["Location"] == "/office/shops/"


def test_a_user_without_a_desk_is_told_so(demo: ShopInfo, client: Client) -> None:
    client.force_login(user_of("nobody"))
    answer = client.get("/office/")
    assert answer.status_code == FORBIDDEN
    assert "may open no shop" in answer.content.decode()


def test_a_desk_is_given_with_a_password_and_taken_again(
    company: Client, second: ShopInfo, client: Client
) -> None:
    page = company.post("/office/shops/second/desk/", {"user": "isolde"}, follow=True)
    password = page.content.decode().split("isolde signs in with ")[1][:19]
    other = Client()
    assert other.login(username="isolde", password=password)
    assert other.get("/office/").status_code == OK
    assert other.get("/at/demo/office/").status_code == GONE
    company.post("/office/shops/second/desk/", {"user": "isolde", "take": "1"})
    assert other.get("/office/").status_code == FORBIDDEN
    company.post("/office/shops/second/desk/", {"user": "company", "take": "1"})
    assert second.id in {shop.id for shop in desk_shops(int(company.session["_auth_user_id"]))}


def test_what_needs_someone_in_each_shop_is_on_the_companys_page(
    company: Client, second: ShopInfo
) -> None:
    joined = phones.join(code=phones.new_code(second.id), address="second")
    phones.look_over(shop_id=second.id, device=joined.device, found="broken", by="maren")
    body = {"code": "other", "text": "The roller squeals"}
    office_event(shop_id=second.id, batch="b1", kind="went_off", body=body)
    page = company.get("/office/shops/").content.decode()
    assert "1 went off" in page
    assert "Phone 1: It has not said; Broken" in page


def test_a_number_is_copied_by_choice_and_says_where_from(
    company: Client, demo: ShopInfo, second: ShopInfo
) -> None:
    for key, value in (("take_off_sea_level", "150"), ("strokes", "90")):
        company.post("/at/demo/office/numbers/", {"id": key, "value": value})
    page = company.get("/at/second/office/numbers/").content.decode()
    assert 'value="take_off_sea_level"' in page
    company.post("/at/second/office/numbers/of/demo/", {"copy": ["take_off_sea_level"]})
    [copied] = numbers.own_numbers(second.id).values()
    assert (copied.key, copied.value) == ("take_off_sea_level", 150_000)
    assert copied.source == f"As in {demo.name}"


def test_shared_numbers_follow_until_the_shop_sets_its_own(
    company: Client, demo: ShopInfo, second: ShopInfo
) -> None:
    company.post("/at/second/office/numbers/of/demo/", {"follow": "yes"})
    company.post("/at/demo/office/numbers/", {"id": "take_off_sea_level", "value": "150"})
    assert numbers.numbers(second.id)["take_off_sea_level"].value == 150_000
    company.post("/at/second/office/numbers/", {"id": "take_off_sea_level", "value": "148"})
    assert numbers.numbers(second.id)["take_off_sea_level"].value == 148_000
    assert numbers.numbers(demo.id)["take_off_sea_level"].value == 150_000
    company.post("/at/second/office/numbers/of/demo/", {"follow": "no"})
    assert set(numbers.numbers(second.id)) == {"take_off_sea_level"}
    assert company.post("/at/second/office/numbers/of/nothing/").status_code == GONE


def test_a_picture_of_another_shop_is_planned_here(
    company: Client, neighbour: Client, second: ShopInfo
) -> None:
    for person in ("maren", "tobit", "isolde", "pim"):
        company.post("/at/second/office/people/", {"name": person, "role": "lead maker"})
    wish = order(picture="demo:demo-finished", number="W-2")
    made = company.post("/at/second/office/plan/", wish)
    assert made["Location"] == "/at/second/office/batch/L7020D-W-2/sheet/"
    refused = neighbour.post("/office/plan/", wish).content.decode()
    assert "Select a valid choice" in refused


def test_the_way_to_the_company_stands_where_there_is_one(
    company: Client, neighbour: Client
) -> None:
    link = f'href="{reverse("office-shops")}"'
    assert link in company.get("/at/second/office/").content.decode()
    assert link not in neighbour.get("/office/").content.decode()
