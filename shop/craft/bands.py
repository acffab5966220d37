"""Bands: what the inputs' own doubt makes of a result, by seeded sampling."""

from collections.abc import Callable, Mapping
from typing import Literal, NamedTuple

import numpy as np

from shop.craft.errors import CraftError, check_range

Shape = Literal["normal", "even"]
DRAWS, SEED = 200, 20_260_101
LEAST, MOST = 0.025, 0.975


class Doubt(NamedTuple):
    """An input and how sure it is: ± `half` (two standard deviations, or an even range)."""

    value: float
    half: float
    shape: Shape = "normal"


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
    check_range("draws", draws, "1", 20, 100_000, "seeded sampling")
    random = np.random.Generator(np.random.PCG64(SEED))
    columns = {name: _drawn(random, doubt, draws) for name, doubt in doubts.items()}
    found, refused = [], None
    for i in range(draws):
        try:
            found.append(result(**{name: float(column[i]) for name, column in columns.items()}))
        except CraftError as error:
            refused = error
    if refused is not None and len(found) < 0.9 * draws:
        raise refused
    low, high = np.quantile(found, [LEAST, MOST])
    value = result(**{name: doubt.value for name, doubt in doubts.items()})
    return Band(value, float(low), float(high))


def _drawn(random: np.random.Generator, doubt: Doubt, draws: int) -> np.ndarray:
    if doubt.shape == "even":
        return random.uniform(doubt.value - doubt.half, doubt.value + doubt.half, draws)
    return random.normal(doubt.value, doubt.half / 2, draws)
