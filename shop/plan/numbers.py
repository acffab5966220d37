"""The shop's own numbers: defaults with ranges and sources, and what this shop set instead."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import TypeAlias

from shop.plan.errors import NumberWrong
from shop.sentences import Sentence

Numbers: TypeAlias = dict[str, int]


@dataclass(frozen=True, slots=True)
class Number:
    """One number in its fixed unit, with the range it must stay in and where it comes from.

    `doubt`: it is sure to within ± this much (two standard deviations); 0 where it is exact.
    """

    id: str
    name: str
    value: int
    unit: str
    low: int
    high: int
    source: str
    origin: str
    doubt: int = 0


@cache
def defaults() -> dict[str, Number]:
    """Every number the plan knows, as the program brings it."""
    text = files("shop.plan").joinpath("numbers.toml").read_text("utf-8")
    rows = tomllib.loads(text)
    found = {
        key: Number(key, **{**row, "name": Sentence(row["name"])}) for key, row in rows.items()
    }
    for number in found.values():
        check_number(number, number.value)
    return found


def check_number(number: Number, value: int) -> None:
    """Raises NumberWrong unless the value is in the number's range."""
    if not number.low <= value <= number.high:
        raise NumberWrong(number.name, value, number.low, number.high, number.unit)


def shop_numbers(own: Mapping[str, int]) -> Numbers:
    """The values to plan with: the shop's own where it set one.

    Raises NumberWrong for a value outside its range.
    """
    known = defaults()
    for key, value in own.items():
        if key in known:
            check_number(known[key], value)
    return {key: own.get(key, number.value) for key, number in known.items()}
