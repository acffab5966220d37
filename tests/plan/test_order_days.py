"""By when an order must be made, and what clashes in a week."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.plan.errors import OrderWrong
from shop.plan.orders.make_day import Calendar, Lead, latest_make_day
from shop.plan.orders.numbers import counter_numbers
from shop.plan.orders.week import Hand, Needs, OnDay, PlannedBoil, ToMake, clashes, taken_days

DAYS = st.dates(date(2024, 1, 1), date(2030, 12, 31))
CALENDARS = st.builds(
    Calendar,
    st.frozensets(st.integers(0, 6), min_size=1),
    st.frozensets(DAYS.map(date.isoformat), max_size=8),
)
LEADS = st.builds(Lead, st.integers(0, 30), st.integers(0, 10), st.integers(1, 5))
WED = date(2026, 11, 25)


def test_days_counted_back_by_hand() -> None:
    """job: event − ship days − 1 buffer − 1 make day. Fri 4 Dec 2026, two days on the way: sent
    Wed 2, Tue 1 kept free, made Mon 30 Nov; with a day shut each is one open day earlier."""
    due, lead = date(2026, 12, 4), Lead(ship=2)
    assert latest_make_day(due, lead, Calendar()) == date(2026, 11, 30)
    shut = Calendar(closed=frozenset({"2026-12-01"}))
    assert latest_make_day(due, lead, shut) == date(2026, 11, 27)
    # Sent on a Monday there is no sending on Sunday: it goes off on Friday.
    assert latest_make_day(date(2026, 12, 8), lead, Calendar()) == date(2026, 12, 2)
    # Every day worked, it is the plain difference.
    assert latest_make_day(due, lead, Calendar(frozenset(range(7)))) == due - timedelta(days=4)


@given(DAYS, DAYS, LEADS, CALENDARS)
def test_the_last_day_is_open_and_never_later_for_an_earlier_event(
    one: date, two: date, lead: Lead, calendar: Calendar
) -> None:
    first, last = sorted((one, two))
    before, after = (latest_make_day(day, lead, calendar) for day in (first, last))
    assert before <= after
    for due, made in ((first, before), (last, after)):
        assert calendar.is_open(made)
        assert made <= due - timedelta(days=lead.ship + lead.buffer + lead.make)


@given(DAYS, LEADS, CALENDARS, DAYS)
def test_more_days_on_the_way_or_shut_never_make_it_later(
    due: date, lead: Lead, calendar: Calendar, shut: date
) -> None:
    made = latest_make_day(due, lead, calendar)
    longer = Lead(lead.ship + 1, lead.buffer, lead.make)
    fewer = Calendar(calendar.works, calendar.closed | {shut.isoformat()})
    assert latest_make_day(due, longer, calendar) <= made
    assert latest_make_day(due, lead, fewer) <= made


@given(DAYS, LEADS, CALENDARS)
def test_the_day_after_would_be_too_late(due: date, lead: Lead, calendar: Calendar) -> None:
    """Counted forward: from the next open day on, making, buffer and way end after the event."""
    day = latest_make_day(due, lead, calendar) + timedelta(days=1)
    sent = day - timedelta(days=1)
    for _ in range(lead.buffer + lead.make + 1):
        sent += timedelta(days=1)
        while not calendar.is_open(sent):
            sent += timedelta(days=1)
    assert sent + timedelta(days=lead.ship) > due


def test_a_shop_that_never_works_is_refused() -> None:
    with pytest.raises(OrderWrong, match="let it work on some weekday"):
        latest_make_day(WED, Lead(1), Calendar(frozenset()))


HANDS = tuple(
    Hand(name, role)
    for name, role in (
        *(("Maren", "lead maker"), ("Tobit", "second hand"), ("Isolde", "roller hand")),
        ("Pim", "front and packing"),
    )
)
MINUTES = {"lead": 225, "second": 225, "roller": 225, "front": 75}
NEEDS = Needs(MINUTES, counter_numbers({}), Calendar())


def boil(letter: str, light_up: int, lead: str = "Maren", lead_may: bool = True) -> PlannedBoil:
    return PlannedBoil(
        *(letter, letter, WED.isoformat(), light_up, light_up + 138, 990, lead, lead_may)
    )


def on(
    *boils: PlannedBoil, orders: tuple[ToMake, ...] = (), hands: tuple[Hand, ...] = HANDS
) -> OnDay:
    return OnDay(WED, boils, orders, hands)


def test_a_day_that_fits_says_nothing() -> None:
    assert clashes(on(boil("A", 480), boil("B", 660)), NEEDS) == []
    assert clashes(OnDay(date(2026, 11, 29), (), (), ()), NEEDS) == []


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (on(boil("A", 480), boil("B", 500)), "Boils A and B want a kettle at 08:20; there is 1"),
        (on(boil("A", 480), boil("B", 600)), "Maren leads boils A and B at the same time."),
        (on(boil("A", 480, "Pim", False)), "Boil A has no lead: Pim is not here or may not"),
        (on(boil("A", 900)), "may be hot until 17:18; the shift ends 16:30. Light it by 14:12"),
        (on(boil("A", 480), hands=HANDS[2:]), "Nobody who may have a boil works on this day."),
        (on(boil("A", 480), hands=HANDS[:2]), "Roller hand: 3.8 h wanted; nobody of that role"),
        (on(orders=(ToMake("W-1", "2026-11-25", "2026-11-24"),)), "W-1 had to be made by Tue 24"),
        (on(orders=(ToMake("W-1", "", "", 4),)), "4 boils in one day; the kettles take 3."),
        (OnDay(date(2026, 11, 29), (boil("A", 480),), (), HANDS), "The shop is shut on this day."),
    ],
)
def test_what_does_not_go_together_is_said_in_words(day: OnDay, words: str) -> None:
    assert [said for said in clashes(day, NEEDS) if words in said] != []


@given(st.lists(st.integers(0, 1200), min_size=1, max_size=5), st.sampled_from(HANDS))
def test_one_more_hand_never_makes_a_clash_and_one_more_boil_never_mends_one(
    lit: list[int], more: Hand
) -> None:
    boils = [boil("ABCDE"[n], minute, f"Lead {n}") for n, minute in enumerate(lit)]
    said = clashes(on(*boils), NEEDS)
    assert len(clashes(on(*boils, hands=(*HANDS, more)), NEEDS)) <= len(said)
    assert len(clashes(on(*boils[:-1]), NEEDS)) <= len(said)


def test_days_that_are_shut_or_full_are_taken() -> None:
    days = [WED + timedelta(days=n) for n in range(5)]
    taken = taken_days({"2026-11-26": 3, "2026-11-27": 2}, days, NEEDS)
    assert taken == {"2026-11-26", "2026-11-28", "2026-11-29"}
