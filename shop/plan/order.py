"""What is ordered, and who makes it."""

from dataclasses import dataclass
from datetime import date

from shop.plan.errors import OrderWrong


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody of the crew as the sheet names them.

    `solo`: ids of the skills the shop noted them as doing alone; None where it keeps no ladder.
    """

    id: str
    name: str
    role: str
    solo: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Order:
    """An order as it is planned; masses [mg], lengths [um], moments [ms since 1970]."""

    number: str
    customer: str
    title: str
    flavour: str
    sour: bool
    country: str
    due: str
    packs: int
    fill_mg: int
    rod_um: int
    piece_um: int
    log_mg: int


@dataclass(frozen=True, slots=True)
class Day:
    """When and by whom: `light_up` and `shift_end` [ms], `day` as 2026-11-25."""

    batch: str
    lot: str
    letter: str
    pattern: str
    day: str
    light_up: int
    shift_end: int
    people: tuple[Person, ...]
    crew: tuple[str, ...]
    lead: str


def lot_of(day: date, letter: str = "") -> str:
    """L, last digit of the year, day of the year, the boil's letter: `L6329A`; without a letter
    what the lots of a day begin with.

    >>> lot_of(date(2026, 11, 25), "A")
    'L6329A'
    """
    return f"L{day.year % 10}{day:%j}{letter}"


LIMITS = {
    "packs": (1, 2000, "bags"),
    "fill_mg": (10_000, 2_000_000, "mg a bag"),
    "rod_um": (8_000, 40_000, "µm of rod"),
    "piece_um": (3_000, 300_000, "µm a piece"),
    "log_mg": (3_000_000, 25_000_000, "mg of log"),
}


def check_order(order: Order) -> None:
    """Raises OrderWrong, naming the value and its limits."""
    for name, (low, high, unit) in LIMITS.items():
        value = getattr(order, name)
        if not low <= value <= high:
            raise OrderWrong(name, f"{value} {unit}", f"it must be from {low} to {high} {unit}")
