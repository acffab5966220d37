"""Evaluating the sheet's reckoning graph. `static/js/record/graph.js` does exactly the same.

Whole numbers only. A missing operand gives None, and so does a number outside its table or
guard: nothing is ever clamped or guessed.
"""

from bisect import bisect_right
from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeAlias

from shop.plan.errors import NoSuchQuantity
from shop.plan.whole import half_up

Figures: TypeAlias = dict[str, int | None]
SAFE = 2**53


class Reckoning:
    """One evaluation: the readings, moments and tallies it starts from, the figures so far."""

    def __init__(self, inputs: Mapping[str, Mapping[str, int]]) -> None:
        self.inputs = inputs
        self.figures: Figures = {}

    def of(self, *names: str) -> list[int] | None:
        """The named figures, or None where one of them is missing."""
        values = [self.figures[name] for name in names]
        known = [value for value in values if value is not None]
        return known if len(known) == len(values) else None


def read(r: Reckoning, what: str, fallback: str) -> int | None:
    found = r.inputs["latest"].get(what)
    return r.figures[fallback] if found is None and fallback else found


def total(r: Reckoning, *terms: Sequence[Any]) -> int | None:
    values = r.of(*(name for name, _ in terms))
    if values is None:
        return None
    return sum(v * int(k) for v, (_, k) in zip(values, terms, strict=True))


def product(r: Reckoning, a: str, b: str, num: int, den: int) -> int | None:
    values = r.of(a, b)
    return half_up(values[0] * values[1] * num, den) if values else None


def quotient(r: Reckoning, a: str, b: str, num: int, den: int) -> int | None:
    values = r.of(a, b)
    if not values or values[1] == 0:
        return None
    top, bottom = values[0] * num, values[1] * den
    return half_up(top, bottom) if bottom > 0 else half_up(-top, -bottom)


def table(r: Reckoning, x: str, xs: list[int], ys: list[int]) -> int | None:
    values = r.of(x)
    if not values or not xs[0] <= values[0] <= xs[-1]:
        return None
    i = min(bisect_right(xs, values[0]), len(xs) - 1)
    return half_up(
        ys[i - 1] * (xs[i] - values[0]) + ys[i] * (values[0] - xs[i - 1]), xs[i] - xs[i - 1]
    )


def extreme(r: Reckoning, pick: Callable[[list[int]], int], names: Sequence[str]) -> int | None:
    values = r.of(*names)
    return pick(values) if values else None


def guard(r: Reckoning, x: str, low: int, high: int) -> int | None:
    values = r.of(x)
    return values[0] if values and low <= values[0] <= high else None


OPS: dict[str, Callable[..., int | None]] = {
    "given": lambda r, n: n,
    "read": read,
    "moment": lambda r, name: r.inputs["moments"].get(name),
    "tally": lambda r, what: r.inputs["tallies"].get(what, 0),
    "sum": total,
    "product": product,
    "quotient": quotient,
    "min": lambda r, *names: extreme(r, min, names),
    "max": lambda r, *names: extreme(r, max, names),
    "first": lambda r, *names: next((v for n in names if (v := r.figures[n]) is not None), None),
    "table": table,
    "guard": guard,
}


def evaluate(
    graph: Sequence[Mapping[str, Any]], inputs: Mapping[str, Mapping[str, int]]
) -> Figures:
    """Every figure of the graph, in its fixed unit.

    `inputs` has `latest` (newest value of each record), `moments` and `tallies`.
    Raises NoSuchQuantity where a quantity names one that does not stand before it.
    """
    reckoning = Reckoning(inputs)
    for quantity in graph:
        op, *operands = quantity["op"]
        try:
            value = OPS[op](reckoning, *operands)
        except KeyError as missing:
            raise NoSuchQuantity(quantity["name"], str(missing)) from missing
        small = value is not None and -SAFE < value < SAFE
        reckoning.figures[quantity["name"]] = value if small else None
    return reckoning.figures
