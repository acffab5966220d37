"""Assemble (lay up): a prism of parts of several densities.

Identities of volume and mass. A part's area is the same at every cut, so area share and volume
share are one; mass follows with the density.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from shop.craft.errors import OutOfRange, check_range

PRISM = "a prism of parts"


def volume(parts: Sequence[tuple[float, float]]) -> float:
    """Volume [m³] of parts `(kg, kg/m³)`; Σ mᵢ/ρᵢ.

    >>> round(volume([(6.0, 1500), (5.34, 1150)]) * 1000, 3)
    8.643
    """
    _check(parts)
    return sum(kg / density for kg, density in parts)


def density(parts: Sequence[tuple[float, float]]) -> float:
    """Density of the whole [kg/m³] from parts `(kg, kg/m³)`: Σ mᵢ / Σ mᵢ/ρᵢ.

    >>> round(density([(6.0, 1500), (5.34, 1150)]))
    1312
    """
    return sum(kg for kg, _ in parts) / volume(parts)


def area_shares(parts: Sequence[tuple[float, float]]) -> list[float]:
    """Share of the section [1] that each part `(kg, kg/m³)` takes: mᵢ/ρᵢ over the volume.

    >>> [round(x, 3) for x in area_shares([(6.0, 1500), (5.34, 1150)])]
    [0.463, 0.537]
    """
    whole = volume(parts)
    return [kg / rho / whole for kg, rho in parts]


class Laid(NamedTuple):
    """Length of the log [m] and the mass of each part [kg]."""

    length_m: float
    masses_kg: list[float]


def masses_of(parts: Sequence[tuple[float, float]], log_kg: float) -> Laid:
    """Masses of parts `(m², kg/m³)` that together weigh `log_kg` [kg]: L = M/Σ aᵢρᵢ, mᵢ = aᵢρᵢL.

    >>> laid = masses_of([(0.6, 1500), (0.4, 1150)], 13.6)
    >>> round(laid.length_m, 3), [round(kg, 2) for kg in laid.masses_kg]
    (0.01, [9.0, 4.6])
    """
    _check(parts)
    check_range("log mass", log_kg, "kg", 1e-3, 1000, PRISM)
    per_metre = [area * rho for area, rho in parts]
    length = log_kg / sum(per_metre)
    return Laid(length, [kg * length for kg in per_metre])


def circle(diameter_m: float) -> float:
    """Area [m²] of a circle, `diameter_m` [m, 1 mm – 2 m].

    >>> round(circle(0.150) * 1e6)
    17671
    """
    check_range("diameter", diameter_m, "m", 1e-3, 2, "a rod or a log")
    return math.pi / 4 * diameter_m**2


def log_length(volume_m3: float, diameter_m: float) -> float:
    """Length [m] of a round log: fluffier white makes it longer at the planned section.

    >>> round(log_length(0.0086435, 0.180), 4)
    0.3397
    """
    return volume_m3 / circle(diameter_m)


def log_diameter(volume_m3: float, length_m: float) -> float:
    """Diameter [m] of a round log: fluffier white makes it fatter at the planned length.

    >>> round(log_diameter(0.0086435, 0.3397), 3)
    0.18
    """
    check_range("log length", length_m, "m", 0.01, 50, PRISM)
    return math.sqrt(volume_m3 / length_m * 4 / math.pi)


def built_length(copies: int, finished_m: float, scale: float) -> float:
    """Length [m] to build once at `scale` times the size, to draw down and cut into `copies`.

    n L/k²: drawn to 1/k of its width it is k² times as long. `copies` n [1–100], `finished_m` L
    [m], `scale` k [1–6]. Two bees of 480 mm at double size:

    >>> built_length(2, 0.480, 2.0)
    0.24
    """
    check_range("copies", copies, "1", 1, 100, "building once for several")
    check_range("scale", scale, "1", 1, 6, "building once for several")
    check_range("finished length", finished_m, "m", 0.01, 10, PRISM)
    return copies * finished_m / scale**2


def _check(parts: Sequence[tuple[float, float]]) -> None:
    if not parts:
        raise OutOfRange("parts", 0, "parts", 1, math.inf, PRISM)
    for first, rho in parts:
        check_range("part", first, "kg or m²", 1e-9, 1e4, PRISM)
        check_range("density", rho, "kg/m³", 500, 1600, "boiled sugar")
