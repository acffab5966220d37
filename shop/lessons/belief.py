"""Estimating one number from what boils say of it: a conjugate normal model that may drift.

    y_t = μ_t + c_t b + ε_t      ε_t ~ N(0, s_t² + τ²)
    μ_t = μ_{t−1} + w_t          w_t ~ N(0, q²) from boil to boil
    μ_0 ~ N(prior, p²),  b ~ N(0, 1)

[all in the number's fixed unit] with y what boil t says, s_t its own doubt, c_t how far all boils
may be wrong together, τ the scatter from boil to boil, q the drift. For given τ and q this is the
Kalman filter; both are unknown and summed over by their weight of evidence (Harvey 1989,
Forecasting, Structural Time Series Models and the Kalman Filter, chapters 3 and 4).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

Array: TypeAlias = NDArray[np.float64]

# Scatter and drift that are thought of, in standard deviations of the prior, and how likely each
# is before any boil: half a Cauchy for the scatter; a shop mostly stands still. Judgement.
SCATTER = (0.02, 0.05, 0.1, 0.2, 0.35, 0.6, 1.0, 1.6, 2.5)
DRIFT = ((0.0, 0.4), (0.01, 0.15), (0.03, 0.15), (0.08, 0.15), (0.2, 0.1), (0.5, 0.05))
STILL = ((0.0, 1.0),)
SURE = 0.95
HALVINGS = 36


@dataclass(frozen=True, slots=True)
class Seen:
    """What boil number `boil` (0 is the oldest) says of a number.

    `sd`: how unsure by itself; `shared`: how far it and all others may be wrong together. Both
    are one standard deviation.
    """

    boil: int
    value: float
    sd: float
    shared: float = 0.0


@dataclass(frozen=True, slots=True)
class Held:
    """What is believed at one boil, with the range in which the number is with `SURE` chance."""

    value: float
    sd: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed now; `course` is the same after each boil, with what was known by then."""

    now: Held
    course: tuple[Held, ...]
    drift: float


@dataclass(frozen=True, slots=True)
class Grid:
    """Every scatter with every drift [fixed unit], and the logarithm of its weight."""

    scatter: Array
    drift: Array
    weight: Array


def grid(sd: float, scatter: Sequence[float], drift: Sequence[tuple[float, float]]) -> Grid:
    """The scatters and drifts that are summed over, for a prior as wide as `sd` (> 0)."""
    taus, steps = np.array(scatter), np.array([step for step, _ in drift])
    likely = taus / (1 + taus**2)
    weight = np.outer(likely / likely.sum(), [chance for _, chance in drift])
    both = np.meshgrid(taus, steps, indexing="ij")
    return Grid(both[0].ravel() * sd, both[1].ravel() * sd, np.log(weight.ravel()))


@lru_cache(maxsize=512)
def believe(
    value: float,
    sd: float,
    seen: tuple[Seen, ...],
    boils: int,
    *,
    scatter: tuple[float, ...] = SCATTER,
    drift: tuple[tuple[float, float], ...] = DRIFT,
) -> Belief:
    """What to believe of a number held as `value` ± `sd` (> 0) before, after so many boils.

    Numbers far outside the prior are believed too, if the boils insist.

    >>> two = (Seen(0, 12.0, 1.0), Seen(1, 12.0, 1.0))
    >>> held = believe(10.0, 1.0, two, 2, scatter=(1e-9,), drift=STILL).now
    >>> round(held.value, 3), round(held.sd, 3)
    (11.333, 0.577)
    """
    over = grid(sd, scatter, drift)
    means, variances, weights = _filtered(value, sd, seen, boils, over)
    course = _held(means, np.sqrt(variances), weights)
    return Belief(course[-1], course, float(weights[-1] @ over.drift))


def _filtered(
    value: float, sd: float, seen: Sequence[Seen], boils: int, over: Grid
) -> tuple[Array, Array, Array]:
    """Mean, variance and weight of each scatter and drift, before and after each boil.

    Row 0 is the prior.
    """
    by_boil = {one.boil: one for one in seen}
    filter_ = _Filter(value, sd, over)
    rows = [filter_.row()]
    for boil in range(boils):
        if boil:
            filter_.move()
        if boil in by_boil:
            filter_.learn(by_boil[boil])
        rows.append(filter_.row())
    means, variances, weights = (np.array(column) for column in zip(*rows, strict=True))
    return means, variances, weights


class _Filter:
    """The number and the shared error side by side, for every scatter and drift at once."""

    def __init__(self, value: float, sd: float, over: Grid) -> None:
        self.over, self.log = over, over.weight
        self.mean, self.shared = np.full(over.drift.size, value), np.zeros(over.drift.size)
        self.own, self.both, self.common = sd**2 + 0 * self.mean, 0 * self.mean, 1 + 0 * self.mean

    def move(self) -> None:
        """From one boil to the next."""
        self.own = self.own + self.over.drift**2

    def learn(self, seen: Seen) -> None:
        """One observation."""
        c = seen.shared
        to_own, to_common = self.own + c * self.both, self.both + c * self.common
        wide = to_own + c * to_common + seen.sd**2 + self.over.scatter**2
        miss = seen.value - self.mean - c * self.shared
        self.log = self.log - (np.log(2 * np.pi * wide) + miss**2 / wide) / 2
        self.mean, self.shared = (
            self.mean + to_own * miss / wide,
            self.shared + to_common * miss / wide,
        )
        self.own, self.both, self.common = (
            self.own - to_own * to_own / wide,
            self.both - to_own * to_common / wide,
            self.common - to_common * to_common / wide,
        )

    def row(self) -> tuple[Array, Array, Array]:
        weight = np.exp(self.log - self.log.max())
        return self.mean, self.own, weight / weight.sum()


def _held(means: Array, sds: Array, weights: Array) -> tuple[Held, ...]:
    """Mean, standard deviation and equal-tailed range of each row's mixture of normals."""
    mean = (weights * means).sum(axis=1)
    sd = np.sqrt((weights * (sds**2 + (means - mean[:, None]) ** 2)).sum(axis=1))
    low, high = (_reached(means, sds, weights, (1 + side * SURE) / 2) for side in (-1, 1))
    columns = (column.tolist() for column in (mean, sd, low, high))
    return tuple(Held(*row) for row in zip(*columns, strict=True))


def _reached(means: Array, sds: Array, weights: Array, chance: float) -> Array:
    """Where each row's mixture has this much of its weight below, by halving."""
    low, high = (means - 9 * sds).min(axis=1), (means + 9 * sds).max(axis=1)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        below = (ndtr((middle[:, None] - means) / sds) * weights).sum(axis=1) < chance
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    reached: Array = (low + high) / 2
    return reached
