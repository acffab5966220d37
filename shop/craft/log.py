"""Assemble, size, cut: a prism of several densities, drawn down.

Identities of volume and mass; SI units. Two ratios, never a bare one: `length_ratio` is
(D₁/D₂)², `diameter_ratio` is D₁/D₂.
"""

import math
from collections.abc import Sequence


def volume(parts: Sequence[tuple[float, float]]) -> float:
    """Volume [m³] of parts `(kg, kg/m³)`.

    >>> round(volume([(6.0, 1500), (5.34, 1150)]) * 1000, 3)
    8.643
    """
    return sum(kg / density for kg, density in parts)


def circle(diameter_m: float) -> float:
    """Area [m²] of a circle."""
    return math.pi / 4 * diameter_m**2


def log_length(volume_m3: float, diameter_m: float) -> float:
    """Length [m] of a round log.

    >>> round(log_length(0.0086435, 0.180), 4)
    0.3397
    """
    return volume_m3 / circle(diameter_m)


def length_ratio(log_diameter_m: float, rod_diameter_m: float) -> float:
    """How many times longer the rod is.

    >>> round(length_ratio(0.180, 0.016), 2)
    126.56
    """
    return (log_diameter_m / rod_diameter_m) ** 2


def drawn_feature(width_m: float, log_diameter_m: float, rod_diameter_m: float) -> float:
    """What a line of the log becomes in the rod [m].

    >>> round(drawn_feature(0.006, 0.180, 0.016) * 1000, 3)
    0.533
    """
    return width_m * rod_diameter_m / log_diameter_m


def piece_mass(rod_diameter_m: float, length_m: float, density: float) -> float:
    """Mass [kg] of a cut piece of `density` [kg/m³].

    >>> round(piece_mass(0.016, 0.009, 1312) * 1000, 3)
    2.374
    """
    return density * circle(rod_diameter_m) * length_m
