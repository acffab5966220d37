"""One week of boils and orders against hands, kettles and days; what clashes, in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from shop.plan.crew import roles, who_may
from shop.plan.numbers import Numbers
from shop.plan.orders.make_day import Calendar
from shop.sentences import Sentence


@dataclass(frozen=True, slots=True)
class PlannedBoil:
    """A boil that stands on a day; minutes of that day. `lead_may`: whether the lead works here
    and may have a boil. `ends`: what is hot is cut, with the shop's spread and a handover."""

    key: str
    letter: str
    day: str
    light_up: int
    ends: int
    shift_end: int
    lead: str
    lead_may: bool
    orders: tuple[str, ...] = ()
    phase: str = "planned"

    @property
    def latest(self) -> int:
        """When it must be lit so that nothing is hot at the end of the shift."""
        return self.shift_end - (self.ends - self.light_up)


@dataclass(frozen=True, slots=True)
class ToMake:
    """An order that wants making: the day it is set for ("" for none), the last that will do, and
    how many boils it still needs on that day."""

    number: str
    day: str
    latest: str
    boils: int = 1


@dataclass(frozen=True, slots=True)
class Hand:
    """Somebody who works that day, and their role by name."""

    name: str
    role: str


@dataclass(frozen=True, slots=True)
class OnDay:
    """Everything about one day."""

    day: date
    boils: tuple[PlannedBoil, ...]
    orders: tuple[ToMake, ...]
    hands: tuple[Hand, ...]

    @property
    def makes(self) -> int:
        """Boils that stand, and those the orders still need."""
        return len(self.boils) + sum(order.boils for order in self.orders)


@dataclass(frozen=True, slots=True)
class Needs:
    """What one boil takes of each role [min], by role's id; the counter's numbers; the days."""

    minutes: dict[str, int]
    numbers: Numbers
    calendar: Calendar


def clashes(on: OnDay, needs: Needs) -> list[str]:
    """What does not go together on a day, each in a sentence; nothing on an empty day."""
    if not on.makes:
        return []
    return [
        *_shut(on, needs),
        *_kettles(on, needs),
        *_leads(on),
        *_zone(on),
        *_hours(on, needs),
        *_too_late(on),
    ]


def clock(minute: int) -> str:
    """Minutes of the day as `10:55`; past midnight it says so.

    >>> clock(655), clock(1450)
    ('10:55', '00:10 the next day')
    """
    at = f"{minute // 60 % 24:02d}:{minute % 60:02d}"
    return Sentence("{at} the next day", at=at) if minute >= 1440 else at


def _shut(on: OnDay, needs: Needs) -> list[str]:
    return [] if needs.calendar.is_open(on.day) else [Sentence("The shop is shut on this day.")]


def _kettles(on: OnDay, needs: Needs) -> list[str]:
    """More boils at once than kettles, or more in the day than the kettles take."""
    n = needs.numbers
    busy, kettles = n["kettle_busy"] // 60_000, n["kettles"]
    found: list[str] = []
    for boil in on.boils:
        at_once = [b for b in on.boils if b.light_up <= boil.light_up < b.light_up + busy]
        if len(at_once) > kettles:
            most = Sentence("1 kettle") if kettles == 1 else Sentence("{n} kettles", n=kettles)
            names = _names(at_once)
            found.append(
                Sentence(
                    "Boils {names} want a kettle at {time}; there is {most}.",
                    names=names,
                    time=clock(boil.light_up),
                    most=most,
                )
            )
    a_day = kettles * n["boils_a_day"]
    if on.makes > a_day:
        found.append(
            Sentence(
                "{makes} boils in one day; the kettles take {a_day}.", makes=on.makes, a_day=a_day
            )
        )
    return list(dict.fromkeys(found))


def _names(boils: Sequence[PlannedBoil]) -> str:
    """`A`, `A and B`, `A, B and C`."""
    letters = sorted(boil.letter for boil in boils)
    if not letters[1:]:
        return letters[0]
    return Sentence("{some} and {last}", some=", ".join(letters[:-1]), last=letters[-1])


def _leads(on: OnDay) -> list[str]:
    found: list[str] = [
        Sentence(
            "Boil {letter} has no lead: {lead} is not here or may not have a boil.",
            letter=b.letter,
            lead=b.lead or Sentence("nobody"),
        )
        for b in on.boils
        if not b.lead_may
    ]
    for lead in dict.fromkeys(b.lead for b in on.boils if b.lead):
        own = [b for b in on.boils if b.lead == lead]
        clash = [b for b in own if any(_overlap(b, other) for other in own if other is not b)]
        if clash:
            found.append(
                Sentence(
                    "{lead} leads boils {names} at the same time.", lead=lead, names=_names(clash)
                )
            )
    if not any(hand.role in who_may("have_boil") for hand in on.hands):
        found.append(Sentence("Nobody who may have a boil works on this day."))
    return found


def _overlap(one: PlannedBoil, two: PlannedBoil) -> bool:
    return one.light_up < two.ends and two.light_up < one.ends


def _zone(on: OnDay) -> list[str]:
    """What is hot when the shift ends: nobody hands over between the pour and the last cut."""
    over: dict[tuple[int, int, int], list[PlannedBoil]] = {}
    for b in on.boils:
        if b.ends > b.shift_end:
            over.setdefault((b.ends, b.shift_end, b.latest), []).append(b)
    return [_hot(boils, *at) for at, boils in over.items()]


def _hot(boils: list[PlannedBoil], ends: int, shift: int, latest: int) -> str:
    at = {"ends": clock(ends), "shift": clock(shift), "latest": clock(latest)}
    if len(boils) > 1:
        return Sentence(
            "Boils {names} may be hot until {ends}; the shift ends {shift}. Light it by {latest}, "
            "or the lead stays.",
            names=_names(boils),
            **at,
        )
    return Sentence(
        "Boil {name} may be hot until {ends}; the shift ends {shift}. Light it by {latest}, or the "
        "lead stays.",
        name=_names(boils),
        **at,
    )


def _hours(on: OnDay, needs: Needs) -> list[str]:
    """Minutes wanted of each role against the hands of that role."""
    found: list[str] = []
    a_day = needs.numbers["hours_a_day"] * 60
    for role in roles():
        wanted = on.makes * needs.minutes[role.id]
        there = sum(hand.role == role.name for hand in on.hands)
        if wanted > there * a_day:
            have = (
                Sentence("{n} × {hours} h", n=there, hours=a_day // 60)
                if there
                else Sentence("nobody of that role works")
            )
            found.append(
                Sentence(
                    "{role}: {hours:.1f} h wanted; {have}.",
                    role=Sentence(role.name.capitalize()),
                    hours=wanted / 60,
                    have=have,
                )
            )
    return found


def _too_late(on: OnDay) -> list[str]:
    day = on.day.isoformat()
    late: list[str] = [
        Sentence(
            "{number} had to be made by {said}.", number=order.number, said=_said(order.latest)
        )
        for order in on.orders
        if order.latest and order.latest < day
    ]
    return late


def _said(iso: str) -> str:
    day = date.fromisoformat(iso)
    return f"{day:%a} {day.day} {day:%b %Y}"


def taken_days(made: dict[str, int], days: Sequence[date], needs: Needs) -> frozenset[str]:
    """Of these days those that are shut or full: `made` is how many boils stand on each."""
    most = needs.numbers["kettles"] * needs.numbers["boils_a_day"]
    return frozenset(
        day.isoformat()
        for day in days
        if not needs.calendar.is_open(day) or made.get(day.isoformat(), 0) >= most
    )
