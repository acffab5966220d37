"""A thermometer's own error, found in boiling water (and ice), and taken off once.

A reading stays as it was read; `true` is what it meant. True and raw are a straight line:
one point moves it, two points turn it. From 100 to 150 °C it is carried half as far again as it
was tested: have a thermometer for the cook checked near 150 °C once a year.
"""

from dataclasses import dataclass

from shop.craft.errors import CraftError, check_range
from shop.sentences import Sentence

SOURCE = "an ice and boiling-water test"


class ThermometerSuspect(CraftError):
    """A test reading further off than the shop allows: no mark follows from it."""

    def __init__(self, reading_c: float, expected_c: float, limit_k: float):
        super().__init__(
            Sentence(
                "The thermometer reads {reading_c:g} °C where {expected_c:.1f} °C "
                "is true; that is more than {limit_k:g} K off, so test it again or "
                "take another.",
                reading_c=reading_c,
                expected_c=expected_c,
                limit_k=limit_k,
            )
        )
        self.reading_c, self.expected_c, self.limit_k = reading_c, expected_c, limit_k


@dataclass(frozen=True, slots=True)
class Correction:
    """True = (raw − zero) · gain: `zero_c` [°C], `gain` [1]."""

    zero_c: float
    gain: float

    def true(self, raw_c: float) -> float:
        """What a raw reading [°C] meant [°C].

        >>> Correction(zero_c=-0.9, gain=1.0).true(148.1)
        149.0
        """
        return (raw_c - self.zero_c) * self.gain

    def raw(self, true_c: float) -> float:
        """What the thermometer shows at a true temperature, both [°C]: the inverse of `true`.

        >>> round(from_two_points(0.4, 95.6, 94.62, suspect_k=3).raw(142.63), 2)
        143.9
        """
        return true_c / self.gain + self.zero_c


def from_boiling_water(
    boil_reading_c: float, water_boils_c: float, *, suspect_k: float
) -> Correction:
    """The correction by one point: everything it reads is off by what boiling water was off.

    `water_boils_c` [°C, 60–105] follows from today's pressure. Raises ThermometerSuspect when the
    reading is further off than `suspect_k` [K, 0.5–20], the shop's own limit.

    >>> round(from_boiling_water(99.1, 100.0, suspect_k=3).true(152.3), 1)
    153.2
    """
    _check_test(boil_reading_c, water_boils_c, suspect_k)
    return Correction(boil_reading_c - water_boils_c, 1.0)


def from_two_points(
    ice_reading_c: float, boil_reading_c: float, water_boils_c: float, *, suspect_k: float
) -> Correction:
    """The correction by crushed ice and boiling water.

    T = (raw − i) T_b/(b − i), with i = `ice_reading_c`, b = `boil_reading_c`, T_b =
    `water_boils_c`, all [°C]. Raises ThermometerSuspect as `from_boiling_water`, for both points.

    >>> correction = from_two_points(0.4, 95.6, 94.62, suspect_k=3)
    >>> round(correction.true(0.4), 9), round(correction.true(95.6), 2)
    (0.0, 94.62)
    """
    _check_test(boil_reading_c, water_boils_c, suspect_k)
    _check_near(ice_reading_c, 0.0, suspect_k)
    return Correction(ice_reading_c, water_boils_c / (boil_reading_c - ice_reading_c))


def _check_test(boil_reading_c: float, water_boils_c: float, suspect_k: float) -> None:
    check_range("suspect limit", suspect_k, "K", 0.5, 20, SOURCE)
    check_range("water boils at", water_boils_c, "°C", 60, 105, "IAPWS-IF97 region 4")
    _check_near(boil_reading_c, water_boils_c, suspect_k)


def _check_near(reading_c: float, expected_c: float, limit_k: float) -> None:
    if not abs(reading_c - expected_c) <= limit_k:
        raise ThermometerSuspect(reading_c, expected_c, limit_k)
