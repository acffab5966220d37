"""What is learned, and what never gets looser, as data."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from shop.plan.numbers import defaults

# Sources of numbers that were taken from the boils begin so.
LEARNED = "Learned from"


@dataclass(frozen=True, slots=True)
class Lesson:
    """Something to learn: what was held before any boil, in a fixed unit, and its range.

    `number`: the shop's number it is about, `""` where there is none to set. `doubt`: two standard
    deviations of what was held before. `how`: from which readings, in words.
    """

    id: str
    name: str
    number: str
    unit: str
    value: int
    doubt: int
    low: int
    high: int
    how: str


@cache
def data() -> dict[str, Any]:
    """`lessons.toml` as it is."""
    return tomllib.loads(files("shop.lessons").joinpath("lessons.toml").read_text("utf-8"))


@cache
def lessons() -> dict[str, Lesson]:
    """Every lesson by its id, with what the handbook holds."""
    return {key: _lesson(key, row) for key, row in data()["lesson"].items()}


def _lesson(key: str, row: Mapping[str, Any]) -> Lesson:
    said = {name: row[name] for name in ("name", "number")}
    if not row["number"]:
        held = {name: row[name] for name in ("unit", "value", "doubt", "low", "high")}
        return Lesson(id=key, how=row["from"], **said, **held)
    number = defaults()[row["number"]]
    return Lesson(
        id=key,
        how=row["from"],
        **said,
        unit=number.unit,
        value=number.value,
        doubt=row.get("doubt", number.doubt),
        low=number.low,
        high=number.high,
    )


def looser(number: str) -> str:
    """Which way this limit or caution gets looser: `up`, `down`; `""` for any other number."""
    return str(data()["looser"].get(number, ""))
