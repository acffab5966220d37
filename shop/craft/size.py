"""Size (roll and draw): the log drawn down to a rod, and the hands it takes.

Two ratios, never a bare one: `length_ratio` is (D₁/D₂)², `diameter_ratio` is D₁/D₂.
"""

import math
from typing import NamedTuple

from shop.craft.assemble import circle
from shop.craft.errors import check_range
from shop.craft.glass import stiffness_ratio

DRAWING = "drawing a log down"


def diameter_ratio(log_diameter_m: float, rod_diameter_m: float) -> float:
    """How many times thinner the rod is [1]; both [m].

    >>> round(diameter_ratio(0.150, 0.014), 1)
    10.7
    """
    check_range("rod diameter", rod_diameter_m, "m", 1e-3, log_diameter_m, DRAWING)
    return log_diameter_m / rod_diameter_m


def length_ratio(log_diameter_m: float, rod_diameter_m: float) -> float:
    """How many times longer the rod is [1]: volume stays, and so does the density.

    >>> round(length_ratio(0.180, 0.016), 2)
    126.56
    """
    return diameter_ratio(log_diameter_m, rod_diameter_m) ** 2


def drawn_feature(width_m: float, log_diameter_m: float, rod_diameter_m: float) -> float:
    """What a line of the log becomes in the rod [m].

    >>> round(drawn_feature(0.006, 0.180, 0.016) * 1000, 3)
    0.533
    """
    return width_m / diameter_ratio(log_diameter_m, rod_diameter_m)


def least_width(drawn_m: float, log_diameter_m: float, rod_diameter_m: float) -> float:
    """The line to build [m] for one of `drawn_m` [m] in the rod: the inverse of `drawn_feature`.

    >>> round(least_width(0.0005, 0.150, 0.014) * 1000, 1)
    5.4
    """
    return drawn_m * diameter_ratio(log_diameter_m, rod_diameter_m)


def rod_length(mass_kg: float, density: float, rod_diameter_m: float) -> float:
    """Metres of rod [m] from `mass_kg` [kg] of `density` [kg/m³]: m/(ρ A), whatever log it was.

    >>> round(rod_length(11.3398, 1480, 0.020), 2)
    24.39
    """
    check_range("density", density, "kg/m³", 500, 1600, "boiled sugar")
    check_range("mass", mass_kg, "kg", 0, 1000, DRAWING)
    return mass_kg / (density * circle(rod_diameter_m))


def taper_kg(log_diameter_m: float, rod_diameter_m: float, cone_m: float, density: float) -> float:
    """What the cone between log and rod holds [kg]: never full picture, binned at head and tail.

    Frustum, V = π h/12 (D² + D d + d²); `cone_m` h [m, 0–1] is how long the point is.

    >>> round(taper_kg(0.150, 0.014, 0.04, 1296), 2)
    0.34
    """
    check_range("cone", cone_m, "m", 0, 1, DRAWING)
    check_range("rod diameter", rod_diameter_m, "m", 1e-3, log_diameter_m, DRAWING)
    wide, thin = log_diameter_m, rod_diameter_m
    return density * math.pi * cone_m / 12 * (wide**2 + wide * thin + thin**2)


def cut_length(piece_kg: float, density: float, gauge_m: float) -> float:
    """Where to cut a rod of `gauge_m` [m] so that a piece keeps its mass [m].

    l = m/(ρ π/4 d²): a 14.8 mm rod in place of 14 mm is cut at 10.7 in place of 12 mm.

    >>> round(cut_length(0.0024, 1296, 0.0148) * 1000, 1)
    10.8
    """
    check_range("piece", piece_kg, "kg", 1e-5, 1, "a cut sweet")
    check_range("density", density, "kg/m³", 500, 1600, "boiled sugar")
    return piece_kg / (density * circle(gauge_m))


class Squeeze(NamedTuple):
    """Kelvins between core and skin, and how many times stiffer the skin is [1]."""

    core_hotter_k: float
    skin_stiffer: float


def squeeze(skin_c: float, core_c: float, tg_c: float) -> Squeeze:
    """How unlike skin and core are: a soft heart in a stiff skin is a squeezed picture.

    WLF viscosities at both [°C] over one glass transition `tg_c` [°C]; a rank, not a force.

    >>> apart = squeeze(58, 80, 40)
    >>> apart.core_hotter_k, round(math.log10(apart.skin_stiffer), 1)
    (22, 3.1)
    """
    return Squeeze(core_c - skin_c, stiffness_ratio(skin_c, tg_c, core_c, tg_c))


class Rolling(NamedTuple):
    """Rods that must turn at once, hands that roll them, everybody with spinner and cutter."""

    rods_at_once: int
    rollers: int
    hands: int
    cutting_begins_min: float
    drawing_ends_min: float

    @property
    def clash(self) -> bool:
        """Whether rods must be cut while others are still drawn."""
        return self.cutting_begins_min < self.drawing_ends_min


def rolling(
    *, rods: int, interval_s: float, cool_min: float, window_from_min: float, rods_per_hand: float
) -> Rolling:
    """Who is needed while rods come down, one every `interval_s` [s, 5–600].

    A rod turns for `cool_min` [min] until it stays round, and reaches the cutting window after
    `window_from_min` [min]; one hand keeps `rods_per_hand` [1–20] round. All are the shop's own.

    >>> crew = rolling(rods=37, interval_s=48, cool_min=8, window_from_min=8, rods_per_hand=7)
    >>> crew.rods_at_once, crew.rollers, crew.hands, crew.clash
    (10, 2, 4, True)
    """
    check_range("rods", rods, "1", 1, 1000, DRAWING)
    check_range("interval", interval_s, "s", 5, 600, DRAWING)
    check_range("cooling time", cool_min, "min", 0, 120, DRAWING)
    check_range("rods per hand", rods_per_hand, "1", 1, 20, DRAWING)
    ends = (rods - 1) * interval_s / 60
    at_once = min(rods, math.ceil(cool_min * 60 / interval_s))
    rollers = math.ceil(at_once / rods_per_hand)
    cutters = 1 if window_from_min < ends else 0
    return Rolling(at_once, rollers, 1 + rollers + cutters, window_from_min, ends)


def interval_for_hands(hands: int, *, cool_min: float, rods_per_hand: float) -> float:
    """Slowest rhythm [s] in which `hands` [≥ 3] suffice: a spinner, a cutter, the rest roll.

    >>> round(interval_for_hands(3, cool_min=8, rods_per_hand=7), 1)
    68.6
    """
    check_range("hands", hands, "1", 3, 20, "a spinner, a cutter and those who roll")
    return cool_min * 60 / ((hands - 2) * rods_per_hand)
