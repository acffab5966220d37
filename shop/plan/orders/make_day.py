"""Days: which the shop works, and by which one an order must be made."""

from dataclasses import dataclass
from datetime import date, timedelta

from shop.plan.errors import OrderWrong

LONGEST = 366
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@dataclass(frozen=True, slots=True)
class Calendar:
    """Weekdays that are worked (0 is Monday), and days that are not all the same."""

    works: frozenset[int] = frozenset(range(5))
    closed: frozenset[str] = frozenset()

    def is_open(self, day: date) -> bool:
        """Whether the shop works on this day."""
        return day.weekday() in self.works and day.isoformat() not in self.closed

    def open_by(self, day: date) -> date:
        """The last open day up to and with this one. Raises OrderWrong where a year has none."""
        for back in range(LONGEST):
            if self.is_open(found := day - timedelta(days=back)):
                return found
        raise OrderWrong("The shop's days", "none within a year", "let it work on some weekday")

    def back(self, day: date, days: int) -> date:
        """So many open days before an open day."""
        for _ in range(days):
            day = self.open_by(day - timedelta(days=1))
        return day


@dataclass(frozen=True, slots=True)
class Lead:
    """What lies between the make day and the event: days on the way, days kept free, days of
    making."""

    ship: int
    buffer: int = 1
    make: int = 1


def latest_make_day(due: date, lead: Lead, calendar: Calendar) -> date:
    """due − ship days − buffer − make days: never a day on which the shop is shut.

    Days on the way are the calendar's, for a carrier drives on the shop's closed days too; it goes
    off on an open day; buffer and making are counted in open days.

    >>> latest_make_day(date(2026, 12, 4), Lead(ship=2), Calendar()).isoformat()
    '2026-11-30'
    """
    sent = calendar.open_by(due - timedelta(days=lead.ship))
    return calendar.back(sent, lead.buffer + lead.make)
