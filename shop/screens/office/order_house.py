"""What the counter reckons with at this shop: numbers with their sources, days, hours, currency."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.utils import timezone

from shop.plan.crew import roles
from shop.plan.errors import OrderWrong
from shop.plan.numbers import Numbers
from shop.plan.orders.make_day import Calendar, Lead, latest_make_day
from shop.plan.orders.numbers import counter_defaults, counter_numbers
from shop.plan.orders.quote import Minutes, money
from shop.plan.orders.said import day_said
from shop.screens.office.access import the_zone
from shop.screens.office.reading import named_weekday, short_day
from shop.sentences import Sentence
from shop.store import hands
from shop.store import numbers as store_numbers
from shop.store.hands import Worked
from shop.store.lessons import in_boils
from shop.store.shapes import NumberInfo, ShopInfo

# Where a shop's settings keep what is no number.
KEPT = "orders"
USUAL: dict[str, Any] = {
    **{"days": [0, 1, 2, 3, 4], "closed": [], "light_up": "08:00", "shift_end": "16:30"},
    **{"currency": "", "away": {}},
}


@dataclass(frozen=True, slots=True)
class House:
    """A shop as the counter knows it."""

    shop: ShopInfo
    own: Mapping[str, NumberInfo]
    numbers: Numbers
    kept: Mapping[str, Any]
    today: date

    @property
    def sources(self) -> dict[str, str]:
        """Where each number comes from."""
        known = counter_defaults()
        return {
            key: self.own[key].source if key in self.own else f"{number.source} ({number.origin})"
            for key, number in known.items()
        }

    @property
    def calendar(self) -> Calendar:
        """Which days are worked."""
        return Calendar(frozenset(self.kept["days"]), frozenset(self.kept["closed"]))

    def latest(self, due: str, ship_days: int) -> str:
        """The last day on which it can be made, "" where nobody said by when."""
        if not due:
            return ""
        n = self.numbers
        ship = n["ship_days"] if ship_days < 0 else ship_days
        lead = Lead(ship, n["buffer_days"], n["make_days"])
        return latest_make_day(date.fromisoformat(due), lead, self.calendar).isoformat()

    def money(self, hundredths: int) -> str:
        """`£12.50`; nothing for what was not said."""
        return "" if hundredths < 0 else f"{self.kept['currency']}{money(hundredths)}"

    def away(self, day: date) -> set[str]:
        """Who does not work on a day, by key."""
        return set(self.kept["away"].get(day.isoformat(), []))

    def minute(self, name: str) -> int:
        """`light_up` or `shift_end` as minute of the day."""
        hour, _, minute = str(self.kept[name]).partition(":")
        return int(hour) * 60 + int(minute)


def house_of(shop: ShopInfo) -> House:
    """This shop, today."""
    own = store_numbers.numbers(shop.id)
    numbers = counter_numbers({k: n.value for k, n in own.items()})
    today = timezone.now().astimezone(the_zone(shop)).date()
    return House(shop, own, numbers, {**USUAL, **shop.settings.get(KEPT, {})}, today)


def minutes_of(house: House, worked: Worked) -> dict[str, Minutes]:
    """Minutes of each role for a boil, by role's id: this shop's own where a boil told them."""
    found = {}
    for role in roles():
        key = f"minutes_{role.id}"
        own = worked.minutes.get(role.name)
        found[role.id] = (
            Minutes(own[0], Sentence("The median of {boils} of this shop", boils=in_boils(own[1])))
            if own
            else Minutes(house.numbers[key], house.sources[key])
        )
    return found


def worked_of(house: House) -> Worked:
    """What the finished boils took."""
    return hands.worked(house.shop.id)


def days_from(first: date, last: date) -> list[date]:
    """Every day from one to another."""
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]


def long_day(iso: str) -> str:
    """`Fri 4 Dec 2026`; nothing for nothing."""
    if not iso:
        return ""
    day = date.fromisoformat(iso)
    return f"{named_weekday(day)} {short_day(day)}"


def closed_days(text: str) -> list[str]:
    """Days one a line. Raises OrderWrong, naming the line."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if len(lines) > 200:
        raise OrderWrong("The days it is shut", f"{len(lines)} lines", "at most 200")
    return sorted({day_said("A day it is shut", line) for line in lines})
