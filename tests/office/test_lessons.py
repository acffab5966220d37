"""What the boils taught, at the desk: used or turned down by one press, never by itself."""

import re
from html import unescape

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from hypothesis import given
from hypothesis import strategies as st

from shop.lessons.belief import Held, Seen
from shop.screens.office.lesson_plots import SHOWN, fit_plot
from shop.screens.office.plots import round_numbers
from shop.store import lessons
from shop.store.changes import changes
from shop.store.numbers import change_number, numbers, own_numbers
from shop.store.shapes import ShopInfo
from shop.store.shops import create_shop
from tests.office.conftest import user_of

PAGE = "/office/lessons/"
OK, FOUND, BAD = 200, 302, 400


def said(answer: object) -> str:
    text = answer.content.decode()  # type: ignore[attr-defined]  # a test client's answer
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())


def offer_of(demo: ShopInfo, lesson: str) -> int:
    taught = {one.lesson.id: one for one in lessons.what_boils_taught(demo.id).taught}
    value = taught[lesson].offer
    assert value is not None
    return value


def press(lead: Client, lesson: str, act: str, value: int) -> int:
    return lead.post(PAGE, {"id": lesson, "act": act, "value": value}).status_code


def test_looking_sets_nothing(demo: ShopInfo, lead: Client) -> None:
    assert lead.get(PAGE).status_code == OK
    assert own_numbers(demo.id) == {}


def test_the_invented_boil_taught_what_its_crew_learned(demo: ShopInfo, lead: Client) -> None:
    """0.7 K in 15 s: stand by about 3 K ahead."""
    text = said(lead.get(PAGE))
    assert "2.8 K in the last minute: stand by that much before the mark" in text
    assert "From 1 boil" in text


def test_used_from_the_next_plan_and_who_did_it(demo: ShopInfo, lead: Client) -> None:
    value = offer_of(demo, "white_density")
    assert press(lead, "white_density", "use", value) == FOUND
    number = numbers(demo.id)["white_density"]
    assert (number.value, number.source) == (value, "Learned from 1 boil: L6329A")
    newest = changes(demo.id, most=1)[0]
    assert (newest.by, newest.about, newest.after) == ("office", "white_density", f"{value} g/m3")


def test_a_number_that_was_used_is_not_offered_again_by_the_same_boils(
    demo: ShopInfo, lead: Client
) -> None:
    press(lead, "white_density", "use", offer_of(demo, "white_density"))
    with pytest.raises(AssertionError):
        offer_of(demo, "white_density")


def test_what_the_boils_taught_is_never_taken_for_what_was_held_before_them(
    demo: ShopInfo, lead: Client
) -> None:
    """Else the same boils would count again with every press."""
    before = lessons.settings_of(demo.id)["white_density"]
    lead.post("/office/numbers/", {"id": "white_density", "value": "1270"})
    assert lessons.settings_of(demo.id)["white_density"].held == 1_270_000
    value = offer_of(demo, "white_density")
    press(lead, "white_density", "use", value)
    after = lessons.settings_of(demo.id)["white_density"]
    assert (before.now, before.held) == (1_250_000, 1_250_000)
    assert (after.now, after.held) == (value, 1_270_000)


def test_not_this_one_is_remembered_until_the_boils_say_something_else(
    demo: ShopInfo, lead: Client
) -> None:
    value = offer_of(demo, "rod_interval")
    assert press(lead, "rod_interval", "no", value) == FOUND
    assert own_numbers(demo.id) == {}
    assert "Not this one, somebody said" in said(lead.get(PAGE))
    assert press(lead, "rod_interval", "use", value) == BAD
    newest = changes(demo.id, most=1)[0]
    assert (newest.by, newest.what, newest.after) == ("office", "rod_interval", str(value))
    change_number(
        shop_id=demo.id,
        key="rod_interval",
        value=90_000,
        unit="ms",
        source="Set by this shop",
        low=15_000,
        high=180_000,
    )
    assert offer_of(demo, "rod_interval") > value + 20_000


@pytest.mark.parametrize("value", ["1", "-1", "9" * 30, "many", ""])
def test_only_what_is_offered_can_be_used(demo: ShopInfo, lead: Client, value: str) -> None:
    for lesson in ("white_density", "strip_limit", "late_rise", "nothing"):
        answer = lead.post(PAGE, {"id": lesson, "act": "use", "value": value})
        assert answer.status_code == BAD
    assert own_numbers(demo.id) == {}


def test_the_page_asks_the_store_as_often_when_all_is_read(demo: ShopInfo, lead: Client) -> None:
    lead.get(PAGE)
    with CaptureQueriesContext(connection) as asked:
        lead.get(PAGE)
    assert len(asked) <= 10, [q["sql"][:90] for q in asked]


def test_the_numbers_page_leads_here(demo: ShopInfo, lead: Client) -> None:
    assert f'href="{PAGE}"' in lead.get("/office/numbers/").content.decode()


def test_a_shop_without_a_finished_boil_says_so(db: None, client: Client) -> None:
    empty = create_shop(slug="new", name="A new loft")
    client.force_login(user_of("new", empty))
    text = said(client.get(PAGE))
    assert "No boil has said anything of it yet" in text
    assert "No plan has been held against a finished boil yet" in text


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6))
def test_an_axis_of_any_reach_has_round_numbers(low: float, reach: float) -> None:
    """From 9 to 10 of a step there once were none."""
    found = round_numbers(low, low + reach)
    assert 2 <= len(found) <= 10


@given(st.lists(st.floats(1, 99), min_size=2, max_size=60), st.floats(1, 99))
def test_what_boils_said_stands_within_the_plot(values: list[float], now: float) -> None:
    seen = [Seen(boil, value, 0.5) for boil, value in enumerate(values)]
    course = [Held(value, 1.0, value - 2, value + 2) for value in values]
    plot = fit_plot("Head", seen, course, now)
    wide, high = (float(part) for part in plot.box.split()[2:])
    assert len(plot.points) == min(len(values), SHOWN)
    for point in plot.points:
        assert 0 <= float(point.x) <= wide
        assert 0 <= float(point.top) <= float(point.y) <= float(point.bottom) <= high
    assert plot.last == f"boil {len(values)}"
