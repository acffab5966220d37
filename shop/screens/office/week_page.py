"""A week in words: which boils and orders stand on which day, who works, what clashes."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any

from django.utils.formats import date_format
from django.utils.http import urlencode
from django.utils.translation import gettext

from shop.picture.needs import logs_for
from shop.plan.crew import who_may
from shop.plan.numbers import Numbers
from shop.plan.order import lot_of
from shop.plan.orders.said import packs_together
from shop.plan.orders.stages import NOT_MADE, STAGES
from shop.plan.orders.week import Hand, Needs, OnDay, PlannedBoil, ToMake, clashes, clock
from shop.screens.office.access import the_zone
from shop.screens.office.order_house import House, long_day, minutes_of, worked_of
from shop.screens.office.order_page import late
from shop.screens.office.picture_asks import own_numbers
from shop.screens.office.reading import named_weekday
from shop.screens.office.wording import phase_word
from shop.store import people as store_people
from shop.store.order_reading import boils_of_lots, orders_of_days, orders_without_day
from shop.store.order_shapes import OrderInfo
from shop.store.shapes import BatchInfo, PersonInfo

WITHOUT = 40
TO_COME = ("planned", "open")


@dataclass(frozen=True, slots=True)
class OrderOnDay:
    """An order in the week; `boils` it has on that day, `warn` what is late about it."""

    order: OrderInfo
    stage: str
    latest: str
    warn: str
    logs: int
    planned: bool
    moves: bool


@dataclass(frozen=True, slots=True)
class BoilOnDay:
    """A boil in the week."""

    boil: PlannedBoil
    lot: str
    title: str
    lit: str
    ends: str
    phase: str


@dataclass(frozen=True, slots=True)
class DayPage:
    """One day of the week."""

    day: str
    name: str
    is_open: bool
    is_today: bool
    boils: list[BoilOnDay]
    orders: list[OrderOnDay]
    hands: list[tuple[PersonInfo, bool]]
    clashes: list[str]


@dataclass(frozen=True, slots=True)
class WeekPage:
    """A week, what is set for no day, and the weeks beside it."""

    first: str
    words: str
    days: list[DayPage]
    undated: list[OrderOnDay]
    more: int
    choices: list[tuple[str, str]]
    before: str
    after: str


def week_page(house: House, monday: date) -> WeekPage:
    """The seven days from a Monday, and the orders without a day."""
    shop = house.shop
    days = [monday + timedelta(days=n) for n in range(7)]
    first, last = days[0].isoformat(), days[-1].isoformat()
    orders = orders_of_days(shop.id, first, last)
    found = boils_of_lots(shop.id, [lot_of(d) for d in days])
    boils = [_boil(house, info, sheet) for info, sheet in found if _has_hours(sheet)]
    people = store_people.people(shop.id, active_only=True)
    needs, numbers = _needs(house), own_numbers(shop)
    undated = orders_without_day(shop.id, most=WITHOUT + 1)
    return WeekPage(
        first=first,
        words=gettext("%(first)s to %(last)s") % {"first": long_day(first), "last": long_day(last)},
        days=[_day(house, day, orders, boils, people, needs, numbers) for day in days],
        undated=[_on_day(house, order, [], numbers) for order, _ in undated[:WITHOUT]],
        more=len(undated) - WITHOUT,
        choices=[("", gettext("no day")), *((d.isoformat(), _short(d)) for d in days)],
        before=urlencode({"from": (monday - timedelta(days=7)).isoformat()}),
        after=urlencode({"from": (monday + timedelta(days=7)).isoformat()}),
    )


def _short(day: date) -> str:
    return f"{named_weekday(day)} {date_format(day, gettext('j M'))}"


def _needs(house: House) -> Needs:
    minutes = {role: m.minutes for role, m in minutes_of(house, worked_of(house)).items()}
    return Needs(minutes, house.numbers, house.calendar)


def _day(
    house: House,
    day: date,
    orders: list[tuple[OrderInfo, list[str]]],
    boils: list[tuple[str, BoilOnDay]],
    people: list[PersonInfo],
    needs: Needs,
    numbers: Numbers,
) -> DayPage:
    iso, away = day.isoformat(), house.away(day)
    here = [one for on, one in boils if on == iso]
    keys = {one.boil.key for one in here}
    mine = [
        _on_day(house, order, [key for key in linked if key in keys], numbers)
        for order, linked in orders
        if order.make_day == iso
    ]
    hands = [(one, one.key not in away) for one in people]
    there = tuple(Hand(one.name, one.role) for one, works in hands if works)
    leads = {one.key for one, works in hands if works and one.role in who_may("have_boil")}
    # What is over clashes with nothing any more.
    checked = tuple(
        _with_lead(one.boil, leads, people) for one in here if one.boil.phase in TO_COME
    )
    to_make = tuple(_to_make(house, one) for one in mine)
    return DayPage(
        day=iso,
        name=_short(day),
        is_open=house.calendar.is_open(day),
        is_today=day == house.today,
        boils=sorted(here, key=lambda one: one.boil.light_up),
        orders=mine,
        hands=hands,
        clashes=clashes(OnDay(day, checked, to_make, there), needs) + _elsewhere(mine, iso),
    )


def _with_lead(boil: PlannedBoil, leads: set[str], people: list[PersonInfo]) -> PlannedBoil:
    """A boil with its lead's name, and whether they are here and may have it."""
    names = {one.key: one.name for one in people}
    return replace(boil, lead=names.get(boil.lead, boil.lead), lead_may=boil.lead in leads)


def _elsewhere(mine: list[OrderOnDay], iso: str) -> list[str]:
    """Orders set for this day whose boil stands on another."""
    return [
        f"{one.order.number} is set for this day and its boil is not: plan it anew, or move it."
        for one in mine
        if one.order.stage == "planned" and not one.planned
    ]


def _to_make(house: House, one: OrderOnDay) -> ToMake:
    latest = house.latest(one.order.due, one.order.said["ship_days"])
    waits = one.order.stage in NOT_MADE and not one.planned
    return ToMake(one.order.number, one.order.make_day, latest, one.logs if waits else 0)


def _on_day(house: House, order: OrderInfo, boils: list[str], numbers: Numbers) -> OrderOnDay:
    latest = house.latest(order.due, order.said["ship_days"])
    return OrderOnDay(
        order=order,
        stage=gettext(STAGES[order.stage]),
        latest=long_day(latest),
        warn=late(house, order.stage, order.make_day, latest),
        logs=_logs(order, numbers),
        planned=bool(boils),
        moves=order.stage in NOT_MADE,
    )


def _logs(order: OrderInfo, numbers: Numbers) -> int:
    """Boils that an order takes; one where nobody said how many packs."""
    packs, fill = packs_together(order.said)
    if not packs:
        return 1
    return logs_for(packs, fill, order.said["log_mg"] / 1e6, numbers) or 8


# What a sheet of this program's own always has; one that a phone brought may not.
HOT = ("zone", "handover", "spread")
HOURS = {"planned_light_up", "latest_light_up"}


def _has_hours(sheet: dict[str, Any]) -> bool:
    given = {q["name"] for q in sheet["graph"] if q["op"][0] == "given"}
    return given >= HOURS and {number["id"] for number in sheet["numbers"]} >= {*HOT}


def _boil(house: House, info: BatchInfo, sheet: dict[str, Any]) -> tuple[str, BoilOnDay]:
    """The day of a boil, and how it stands there."""
    wanted = {number["id"]: number["value"] for number in sheet["numbers"]}
    hot = sum(wanted[name] for name in HOT) // 60_000
    lit = _minute(house, sheet, "planned_light_up")
    # The sheet's last moment to light it is the end of the shift less all that is hot.
    end = _minute(house, sheet, "latest_light_up") + hot
    boil = PlannedBoil(
        key=info.key,
        letter=info.letter,
        day=sheet["day"],
        light_up=lit,
        ends=lit + hot,
        shift_end=end,
        lead=sheet["lead"],
        lead_may=True,
        phase=info.phase,
    )
    ends, phase = clock(lit + hot), phase_word(info.phase)
    return sheet["day"], BoilOnDay(boil, info.lot, info.title, clock(lit), ends, phase)


def _minute(house: House, sheet: dict[str, Any], figure: str) -> int:
    """A moment that stands fixed in the sheet's reckoning, as minute of its day at the shop."""
    given = {q["name"]: q["op"][1] for q in sheet["graph"] if q["op"][0] == "given"}
    at = datetime.fromtimestamp(given[figure] / 1000, the_zone(house.shop))
    start = datetime.fromisoformat(sheet["day"]).replace(tzinfo=at.tzinfo)
    return round((at - start).total_seconds() / 60)
