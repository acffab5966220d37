"""In which units a page of the desk is read: those of whoever sits there, else the shop's.

What is typed at the desk keeps the unit that stands beside its field, and a reading the one it was
taken in.
"""

from collections.abc import Mapping
from contextvars import ContextVar

from shop.plan.whole import half_up
from shop.record import words

KILO = 1_000_000
METRIC: Mapping[str, str] = {}
US: Mapping[str, str] = {"m°C": "degF", "mK": "degF", "mg": "lb", "um": "in"}
# Of this request; `reading` sets it anew for every one.
_reads: ContextVar[Mapping[str, str]] = ContextVar("units", default=METRIC)


def read_in(units: str) -> None:
    """From here on this request is read in `us` units, or metric."""
    _reads.set(US if units == "us" else METRIC)


def say(value: int | None, unit: str, places: int = 1) -> str:
    """A value of a fixed unit in a few characters (shop/record/words.py)."""
    return words.say(value, unit, _reads.get().get(unit, ""), places)


def say_range(value: int | None, spread: int, unit: str) -> str:
    """The same with how far it may be off, `spread` [ppm]."""
    return words.say_range(value, spread, unit, _reads.get().get(unit, ""))


def kilos(mg: int) -> str:
    """Kilograms to 10 g, the office's resolution for a mass balance; pounds to 0.01 lb."""
    if _reads.get() is METRIC:
        return f"{words.decimal(mg, KILO, 2)} kg"
    # 1 lb = 0.45359237 kg exactly (NIST SP 811).
    return f"{words.decimal(half_up(mg * 100_000_000, 45_359_237), KILO, 2)} lb"


def is_metric() -> bool:
    """Whether masses are read in kg."""
    return _reads.get() is METRIC
