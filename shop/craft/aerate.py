"""Aerate (pull): air folded into sugar on the hook, and the heat it costs.

How fast sugar whitens depends on hands and hook, so density against strokes is a curve this shop
measured (weigh a 100 mm trial rod), never a formula.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from shop.craft.errors import OutOfRange, check_range

IDENTITY = "its definition"
CURVE = "this shop's pulling curve"


def air_fraction(clear: float, pulled: float) -> float:
    """Air by volume [1] in pulled sugar of density `pulled` from clear sugar, both [kg/m³].

    φ = 1 − ρ_pulled/ρ_clear; the mass of the air is neglected.

    >>> round(air_fraction(1500, 1150), 4)
    0.2333
    """
    _check_densities(clear, pulled)
    return 1 - pulled / clear


def overrun(clear: float, pulled: float) -> float:
    """Volume gained by pulling per volume of clear sugar [1]: ρ_clear/ρ_pulled − 1.

    >>> round(overrun(1500, 1150), 4)
    0.3043
    """
    _check_densities(clear, pulled)
    return clear / pulled - 1


def _check_densities(clear: float, pulled: float) -> None:
    check_range("clear density", clear, "kg/m³", 1200, 1600, "boiled sugar")
    check_range(
        "pulled density", pulled, "kg/m³", 500, clear, "pulled sugar, never denser than clear"
    )


class PullingCurve:
    """Density [kg/m³] against strokes, as this shop measured it.

    `points`: `(strokes, kg/m³)`, at least two, strokes rising, density falling. Between them a
    monotone cubic (Fritsch and Carlson, through scipy); outside them nothing is said.

    >>> curve = PullingCurve([(0, 1450), (60, 1300), (115, 1250)])
    >>> round(curve.density(60)), round(curve.strokes(1300))
    (1300, 60)
    """

    def __init__(self, points: Sequence[tuple[float, float]]) -> None:
        strokes, densities = np.array(points, dtype=float).T
        if len(points) < 2 or np.any(np.diff(strokes) <= 0) or np.any(np.diff(densities) >= 0):
            raise OutOfRange("points of the curve", len(points), "points", 2, math.inf, CURVE)
        self.low, self.high = float(strokes[0]), float(strokes[-1])
        self.lightest, self.densest = float(densities[-1]), float(densities[0])
        self._density = PchipInterpolator(strokes, densities)

    def density(self, strokes: float) -> float:
        """Density [kg/m³] after so many strokes."""
        check_range("strokes", strokes, "1", self.low, self.high, CURVE)
        return float(self._density(strokes))

    def strokes(self, density: float) -> float:
        """Strokes [1] to a density [kg/m³]; the inverse of `density`."""
        check_range("density", density, "kg/m³", self.lightest, self.densest, CURVE)
        return float(brentq(lambda s: float(self._density(s)) - density, self.low, self.high))


@dataclass(frozen=True, slots=True)
class Pull:
    """A lump on the hook: why white starts hotter than it ends.

    T = T_air + (T₀ − T_air) exp(−h A t/(m c)): folding keeps it even, so it cools as one lump.
    `minutes` t [min, 0–60] in air of `air_c` [°C]; `mass_kg` m [kg, 0.1–50]; `area_m2` A [m²,
    0.01–5] hangs in the air, `coefficient` h [W/m² K, 2–60] of skin that moves through it,
    `heat_capacity` c [J/kg K]; h and A are this shop's own, from two readings.

    >>> pull = Pull(air_c=23, minutes=7, mass_kg=7.3, area_m2=0.35, coefficient=25,
    ...             heat_capacity=1900)
    >>> round(pull.after(86), 1), round(pull.start_for(pull.after(86)), 9)
    (71.3, 86.0)
    """

    air_c: float
    minutes: float
    mass_kg: float
    area_m2: float
    coefficient: float
    heat_capacity: float

    def __post_init__(self) -> None:
        check_range("minutes", self.minutes, "min", 0, 60, "pulling by hand")
        check_range("mass", self.mass_kg, "kg", 0.1, 50, "a lump on a hook")
        check_range("area", self.area_m2, "m²", 0.01, 5, "a lump on a hook")
        check_range("coefficient", self.coefficient, "W/m²K", 2, 60, "skin moving through air")
        check_range("heat capacity", self.heat_capacity, "J/kg K", 1000, 2500, "boiled sugar")

    def after(self, start_c: float) -> float:
        """Temperature [°C] of a lump that went on the hook at `start_c` [°C]."""
        return self.air_c + (start_c - self.air_c) * self._kept()

    def start_for(self, end_c: float) -> float:
        """Where a lump must start [°C] to end at `end_c` [°C]: the inverse of `after`."""
        return self.air_c + (end_c - self.air_c) / self._kept()

    def _kept(self) -> float:
        losing, holds = self.coefficient * self.area_m2, self.mass_kg * self.heat_capacity
        return math.exp(-losing * self.minutes * 60 / holds)
