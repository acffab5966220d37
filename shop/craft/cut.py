"""Cut: rods into pieces, and where every gram of the log went."""

import math
from typing import NamedTuple

from shop.craft.assemble import circle
from shop.craft.errors import check_range

CUTTING = "cutting rods"


def piece_mass(rod_diameter_m: float, length_m: float, density: float) -> float:
    """Mass [kg] of a cut piece of `density` [kg/m³]: ρ π/4 d² l.

    >>> round(piece_mass(0.016, 0.009, 1312) * 1000, 3)
    2.374
    """
    check_range("piece length", length_m, "m", 1e-3, 1, CUTTING)
    check_range("density", density, "kg/m³", 500, 1600, "boiled sugar")
    return density * circle(rod_diameter_m) * length_m


def pieces(rod_m: float, length_m: float, kerf_m: float = 0.0) -> int:
    """Whole pieces from `rod_m` [m] of rod; `kerf_m` [m, 0–5 mm] is lost at each cut.

    ⌊L/(l + kerf)⌋.

    >>> pieces(42.99, 0.009)
    4776
    """
    check_range("piece length", length_m, "m", 1e-3, 1, CUTTING)
    check_range("kerf", kerf_m, "m", 0, 0.005, CUTTING)
    check_range("rod length", rod_m, "m", 0, 1e4, CUTTING)
    return math.floor(rod_m / (length_m + kerf_m) + 1e-9)


class Yield(NamedTuple):
    """What can be packed [kg], its share of the log [1], and what is not accounted for [kg]."""

    packable_kg: float
    share: float
    lost_kg: float


def packable(
    log_kg: float, *, head_kg: float, tail_kg: float, dust: float, trial_kg: float, retain_kg: float
) -> Yield:
    """Net of a log [kg]: (M − head − tail)(1 − dust) − trial cuts − retained samples.

    `dust` [kg/kg, 0–0.5] is lost of what is cut. The losses are this shop's own.

    >>> net = packable(11.0, head_kg=0.33, tail_kg=0.42, dust=0.03, trial_kg=0.05, retain_kg=0.10)
    >>> round(net.packable_kg, 2), round(net.share, 3)
    (9.79, 0.89)
    """
    check_range("log mass", log_kg, "kg", 1e-3, 1000, CUTTING)
    check_range("dust", dust, "kg/kg", 0, 0.5, CUTTING)
    check_range("head and tail", head_kg + tail_kg, "kg", 0, log_kg, CUTTING)
    net = (log_kg - head_kg - tail_kg) * (1 - dust) - trial_kg - retain_kg
    check_range("packable mass", net, "kg", 0, log_kg, CUTTING)
    return Yield(net, net / log_kg, log_kg - net)
