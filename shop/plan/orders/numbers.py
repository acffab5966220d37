"""What the counter reckons with: days, hands, prices. They are the shop's, and on no sheet."""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from shop.plan.numbers import Number, Numbers, check_number
from shop.sentences import Sentence


@cache
def counter_defaults() -> dict[str, Number]:
    """Every number of the counter, as the program brings it."""
    text = files("shop.plan.orders").joinpath("counter.toml").read_text("utf-8")
    rows = tomllib.loads(text)
    found = {
        key: Number(key, **{**row, "name": Sentence(row["name"])}) for key, row in rows.items()
    }
    for number in found.values():
        check_number(number, number.value)
    return found


def counter_numbers(own: Mapping[str, int]) -> Numbers:
    """The values to reckon with: the shop's own where it set one. Raises NumberWrong."""
    known = counter_defaults()
    for key, value in own.items():
        if key in known:
            check_number(known[key], value)
    return {key: own.get(key, number.value) for key, number in known.items()}
