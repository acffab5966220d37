"""A page of the office is read in the language of whoever sits there, and nothing of it is left."""

from datetime import date

from django.conf import settings
from django.contrib.auth.models import User
from django.test import Client
from django.utils import translation
from pytest_django import DjangoAssertNumQueries

from shop.screens.office.reading import short_day, whole_day
from shop.store.access import desk_shops
from shop.store.people import people, set_person
from shop.store.shapes import ShopInfo
from shop.store.shops import say_who, set_settings
from tests.office.conftest import user_of

RAIL = {"en": ("Orders", "Store room", "Sign out"), "de": ("Aufträge", "Lager", "Abmelden")}


def desk_of(demo: ShopInfo, name: str, language: str) -> Client:
    """A desk of its own, whose user is a person that reads this language."""
    user, known = user_of(name, demo), people(demo.id)[User.objects.count() - 1]
    set_person(shop_id=demo.id, key=known.key, name=known.name, role=known.role, language=language)
    say_who(shop_id=demo.id, user=name, person=known.key, by=name)
    desk = Client(headers={"accept-language": "fr,de;q=0.9"})
    desk.force_login(user)
    return desk


def shown(desk: Client, address: str = "/office/") -> str:
    return desk.get(address).content.decode()


def is_in(language: str, page: str) -> bool:
    """Whether the rail and the page's own language are this one, and not the other."""
    other = "en" if language == "de" else "de"
    return (
        f'<html lang="{language}">' in page
        and all(f">{words}<" in page for words in RAIL[language])
        and not any(f">{words}<" in page for words in RAIL[other])
    )


def test_two_desks_in_one_process_read_each_their_own(demo: ShopInfo) -> None:
    german, english = desk_of(demo, "anna", "de"), desk_of(demo, "office", "en")
    for address in ("/office/", "/office/orders/", "/office/boils/", "/office/plan/"):
        for _ in range(2):
            assert is_in("de", shown(german, address)), address
            assert is_in("en", shown(english, address)), address
    assert "Sud planen" in shown(german)
    assert "Plan a boil" in shown(english)


def test_nothing_is_left_for_the_next_request_nor_after_a_page_that_is_not_there(
    demo: ShopInfo,
) -> None:
    german = desk_of(demo, "anna", "de")
    before = translation.get_language()
    assert is_in("de", shown(german))
    assert translation.get_language() == before
    assert german.get("/office/orders/nobody/").status_code == 404
    assert translation.get_language() == before
    assert '<html lang="en">' in shown(Client(), "/office/sign-in/")


def test_who_says_nothing_reads_what_the_shop_reads(demo: ShopInfo) -> None:
    desk = desk_of(demo, "anna", "")
    assert is_in("en", shown(desk))
    set_settings(shop_id=demo.id, name=demo.name, settings={**demo.settings, "language": "de"})
    assert is_in("de", shown(desk))
    assert '<html lang="de">' in shown(Client(), "/office/sign-in/")


def test_a_desk_asks_once_for_shop_and_language(
    demo: ShopInfo, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    desk_of(demo, "anna", "de")
    user = User.objects.get(username="anna")
    with django_assert_num_queries(1):
        assert [shop.reads for shop in desk_shops(user.pk)] == ["de"]


def test_a_day_has_its_months_name_in_the_readers_language() -> None:
    # Months and days by Duden; the order and the point after the day by DIN 5008.
    day = date(2026, 12, 2)
    with translation.override("de"):
        assert short_day(day) == "2. Dez 2026"
        assert whole_day(day) == "Mittwoch, 2. Dezember 2026"
    with translation.override(settings.LANGUAGE_CODE):
        assert short_day(day) == f"2 {day:%b %Y}" == "2 Dec 2026"
        assert whole_day(day) == "Wednesday 2 December 2026"


def test_a_form_takes_the_same_numbers_in_either_language(demo: ShopInfo) -> None:
    german = desk_of(demo, "anna", "de")
    for address in ("/office/plan/", "/office/orders/settings/", "/office/numbers/"):
        english = desk_of(demo, f"one{len(address)}", "en")
        assert values(shown(german, address)) == values(shown(english, address)), address


def values(page: str) -> list[str]:
    """What stands in the fields of a page, but for what guards the form."""
    fields = page.split("<input")[1:]
    tags = [field.partition(">")[0] for field in fields if "csrf" not in field.partition(">")[0]]
    return [
        tag.partition('value="')[2].partition('"')[0] for tag in tags if 'type="date"' not in tag
    ]


def test_what_a_sheet_says_is_read_in_the_language_of_the_desk(demo: ShopInfo) -> None:
    german, english = desk_of(demo, "anna", "de"), desk_of(demo, "office", "en")
    for address in ("/office/", "/office/batch/demo-planned/sheet/"):
        there, here = shown(german, address), shown(english, address)
        assert ("Water first, then sugar" in here, "Water first, then sugar" in there) == (
            True,
            False,
        )
    sheet = shown(german, "/office/batch/demo-planned/sheet/")
    # A text about a portion, with the portion's own name in German.
    assert "Cut and weigh" not in sheet
    assert "{name}" not in sheet
    assert "{Name}" not in sheet
