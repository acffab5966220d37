"""Bands: what the inputs' own doubt makes of a result, by seeded sampling."""

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shop.craft.errors import CraftError, check_range

DRAWS, SEED = 200, 20_260_101
LEAST, MOST = 0.025, 0.975


class Doubt(NamedTuple):
    """An input and how sure it is: ± `half`, two standard deviations of a normal scatter."""

    value: float
    half: float


class Band(NamedTuple):
    """A result and the range in which 95 of 100 draws lie."""

    value: float
    low: float
    high: float


def band(result: Callable[..., float], doubts: Mapping[str, Doubt], *, draws: int = DRAWS) -> Band:
    """The band of `result(**inputs)` when its inputs are as doubtful as `doubts` say.

    Draws are seeded, so the same question has the same answer. Draws outside a formula's range
    are left out; if more than a tenth are, there is no honest band and the error is raised.

    >>> wide = band(lambda a, b: a * b, {"a": Doubt(10, 1), "b": Doubt(2, 0)})
    >>> wide.value, bool(18 < wide.low < 19.3), bool(20.7 < wide.high < 22)
    (20, True, True)
    """
    columns = drawn(doubts, draws=draws)
    found, refused = [], None
    for i in range(draws):
        try:
            found.append(result(**{name: float(column[i]) for name, column in columns.items()}))
        except CraftError as error:
            refused = error
    if refused is not None and len(found) < 0.9 * draws:
        raise refused
    value = result(**{name: doubt.value for name, doubt in doubts.items()})
    return Band(value, *reach(found))


def drawn(doubts: Mapping[str, Doubt], *, draws: int = DRAWS) -> dict[str, NDArray[np.float64]]:
    """A column of `draws` [20–100 000] draws for each input, the same on every call.

    >>> columns = drawn({"a": Doubt(10, 1)})
    >>> len(columns["a"]), round(float(columns["a"].std()), 1)
    (200, 0.5)
    """
    check_range("draws", draws, "1", 20, 100_000, "seeded sampling")
    random = np.random.Generator(np.random.PCG64(SEED))
    return {name: random.normal(d.value, d.half / 2, draws) for name, d in doubts.items()}


def reach(found: Sequence[float]) -> tuple[float, float]:
    """The ends between which 95 of 100 of the `found` results lie.

    >>> reach(range(1001))
    (25.0, 975.0)
    """
    low, high = np.quantile(found, [LEAST, MOST])
    return float(low), float(high)
