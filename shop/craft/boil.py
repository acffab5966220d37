"""The boil: the marks of the day, the heat and minutes it takes, and what a peak made.

Burner power, carry-over and limits are the shop's own numbers: arguments, never constants.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shop.craft.air import SEA_LEVEL_PA, heat_of_steam
from shop.craft.cook import BALANCE, check_mass, cooked_mass
from shop.craft.errors import check_range
from shop.craft.mixture import at_sea_level, from_sea_level
from shop.craft.syrup import GAS, boiling_point, moisture_at
from shop.craft.water import KELVIN, water_boiling_point

Floats = NDArray[np.float64]
WATER_HEAT_CAPACITY = 4190.0
DRY_HEAT_CAPACITY = 1420.0
STEPS = 60


def take_off(moisture: float, pressure_pa: float) -> float:
    """True temperature [°C] at which sugar of `moisture` [kg/kg, 0.005–1] boils today.

    `pressure_pa` [Pa, 50–110 kPa] is the room's, now.

    >>> round(take_off(0.03, 83_435.0), 1)
    142.6
    """
    check_range("moisture", moisture, "kg/kg", 0.005, 1, "Starzak and Peacock 1997")
    return boiling_point(1 - moisture, pressure_pa)


def flame_off(take_off_c: float, carry_over_k: float) -> float:
    """The mark to act on [°C]: the take-off mark less what this kettle still gains.

    `carry_over_k` [K, 0–20] is learned from this kettle, at this flame.

    >>> flame_off(148.0, 1.5)
    146.5
    """
    check_range("carry-over", carry_over_k, "K", 0, 20, "a kettle on a burner")
    return take_off_c - carry_over_k


@dataclass(frozen=True, slots=True)
class Overcook:
    """How far a rule of thumb overshoots [K], and the moisture wanted and made [kg/kg]."""

    kelvin: float
    wanted_moisture: float
    made_moisture: float


def overcook_by_subtracting(sea_level_c: float, pressure_pa: float) -> Overcook:
    """What the rule 'subtract what water boils lower by' makes of a recipe.

    Syrup drops more than water (`mixture.drop_ratio`), so a mark lowered by the water's drop is
    too high and the sugar ends drier. `sea_level_c` [°C] is the recipe's mark, `pressure_pa` [Pa]
    today's. Rule: Utah State University Extension (2006).

    >>> rule = overcook_by_subtracting(149.41, 83_435.0)
    >>> round(rule.kelvin, 1), round(rule.made_moisture, 3)
    (1.4, 0.027)
    """
    marked = sea_level_c - water_boiling_point(SEA_LEVEL_PA) + water_boiling_point(pressure_pa)
    return Overcook(
        kelvin=marked - from_sea_level(sea_level_c, pressure_pa),
        wanted_moisture=moisture_at(sea_level_c, SEA_LEVEL_PA),
        made_moisture=moisture_at(marked, pressure_pa),
    )


@dataclass(frozen=True, slots=True)
class Cooked:
    """What a peak made: moisture [kg/kg], mass [kg], the same cook at sea level [°C]."""

    moisture: float
    mass_kg: float
    sea_level_c: float


def after_peak(true_peak_c: float, pressure_pa: float, dry_kg: float) -> Cooked:
    """What a true (corrected) peak [°C] at `pressure_pa` [Pa] made of `dry_kg` [kg] of solids.

    >>> cooked = after_peak(150.0, 101_325.0, 10.0)
    >>> round(cooked.moisture, 4), round(cooked.mass_kg, 3)
    (0.0288, 10.297)
    """
    moisture = moisture_at(true_peak_c, pressure_pa)
    sea_level_c = at_sea_level(true_peak_c, pressure_pa)
    return Cooked(moisture, cooked_mass(dry_kg, moisture), sea_level_c)


def boil_off_heat(
    *, dry_kg: float, from_moisture: float, to_moisture: float, pressure_pa: float
) -> float:
    """Heat [J] that boils syrup from one moisture [kg/kg] to a lower one at `pressure_pa` [Pa].

    Q = ∫ (m_dry c_dry + m_w c_w) dT + ∫ Δh_steam dm_w along the boiling curve (trapezium rule,
    60 steps). c_w 4190 J/kg K; c_dry 1420 J/kg K, crystal sucrose at 60 °C (Mohos 2010, appendix
    1). Heat of solution and the kettle's losses are left out: the power to divide by is net.

    >>> heat = boil_off_heat(dry_kg=10.79, from_moisture=0.249, to_moisture=0.022,
    ...                      pressure_pa=101_325.0)
    >>> round(heat / 1e6, 1)
    8.3
    """
    course = boil_off_course(
        dry_kg=dry_kg,
        from_moisture=from_moisture,
        to_moisture=to_moisture,
        pressure_pa=pressure_pa,
    )
    return float(course.heat_j[-1])


class BoilOff(NamedTuple):
    """Along a boil: heat taken up since its first moisture [J] and the true temperature [°C]."""

    heat_j: Floats
    boils_c: Floats


def boil_off_course(
    *, dry_kg: float, from_moisture: float, to_moisture: float, pressure_pa: float
) -> BoilOff:
    """The course of `boil_off_heat`, 61 places from one moisture [kg/kg] to a lower one.

    >>> course = boil_off_course(dry_kg=10.79, from_moisture=0.249, to_moisture=0.022,
    ...                          pressure_pa=101_325.0)
    >>> len(course.heat_j), round(float(course.boils_c[0])), round(float(course.boils_c[-1]))
    (61, 107, 153)
    """
    check_mass("dry solids", dry_kg)
    check_range("first moisture", from_moisture, "kg/kg", 0.005, 0.95, BALANCE)
    check_range("last moisture", to_moisture, "kg/kg", 0.005, from_moisture, BALANCE)
    moisture = np.linspace(from_moisture, to_moisture, STEPS + 1)
    water = dry_kg * moisture / (1 - moisture)
    boils = np.array([boiling_point(1 - float(u), pressure_pa) for u in moisture])
    steam = np.array([heat_of_steam(float(t), pressure_pa) for t in boils])
    holds = dry_kg * DRY_HEAT_CAPACITY + water * WATER_HEAT_CAPACITY
    gained = _middles(holds) * np.diff(boils) - _middles(steam) * np.diff(water)
    return BoilOff(np.concatenate([[0.0], np.cumsum(gained)]), boils)


def _middles(values: Floats) -> Floats:
    """Halfway between each two neighbours: the trapezium rule."""
    return np.asarray((values[1:] + values[:-1]) / 2)


def heat_to_boil(*, dry_kg: float, water_kg: float, from_c: float, pressure_pa: float) -> float:
    """Heat [J] that brings a charge from `from_c` [°C] to its own boiling point.

    Q = (m_dry c_dry + m_w c_w)(T_boil − T); heat capacities as in `boil_off_heat`.

    >>> round(heat_to_boil(dry_kg=10.79, water_kg=3.58, from_c=20, pressure_pa=101_325.0) / 1e6, 1)
    2.6
    """
    check_mass("dry solids", dry_kg)
    check_mass("water", water_kg)
    boils = boiling_point(dry_kg / (dry_kg + water_kg), pressure_pa)
    check_range("starting temperature", from_c, "°C", 0, boils, BALANCE)
    return (dry_kg * DRY_HEAT_CAPACITY + water_kg * WATER_HEAT_CAPACITY) * (boils - from_c)


def boil_minutes(heat_j: float, net_power_w: float) -> float:
    """Minutes [min] that a burner of `net_power_w` [W, 100 W – 1 MW] takes for `heat_j` [J].

    >>> round(boil_minutes(11.5e6, 8000))
    24
    """
    check_range("net power", net_power_w, "W", 100, 1e6, "a burner in a workshop")
    check_range("heat", heat_j, "J", 0, 1e12, BALANCE)
    return heat_j / net_power_w / 60


def minutes_between(
    *, dry_kg: float, from_c: float, to_c: float, pressure_pa: float, net_power_w: float
) -> float:
    """Minutes [min] a boil takes from one true temperature [°C] to a higher one.

    `boil_off_heat` over the net power. From 130 °C to the take-off it is the time in which sugar
    colours.

    >>> round(minutes_between(dry_kg=10.79, from_c=130, to_c=149, pressure_pa=101_325.0,
    ...                       net_power_w=8000), 1)
    3.0
    """
    heat = boil_off_heat(
        dry_kg=dry_kg,
        from_moisture=moisture_at(from_c, pressure_pa),
        to_moisture=moisture_at(to_c, pressure_pa),
        pressure_pa=pressure_pa,
    )
    return boil_minutes(heat, net_power_w)


def browning_minutes(
    minutes: Sequence[float],
    temperatures_c: Sequence[float],
    *,
    at_c: float,
    activation_j_mol: float,
) -> float:
    """Minutes [min] at `at_c` [°C] that would colour the sugar as much as a recorded course did.

    ∫ exp(−E/R · (1/T − 1/T_ref)) dt by the trapezium rule over the course. E [J/mol, 40–250
    kJ/mol] is the shop's own, fitted on its boils: no source gives one for an open kettle.

    >>> round(browning_minutes([0, 10], [150, 150], at_c=150, activation_j_mol=1.2e5), 1)
    10.0
    """
    check_range("activation energy", activation_j_mol, "J/mol", 4e4, 2.5e5, "colouring reactions")
    kelvin = np.asarray(temperatures_c, dtype=float) + KELVIN
    rate = np.exp(-activation_j_mol / GAS * (1 / kelvin - 1 / (at_c + KELVIN)))
    return float(np.trapezoid(rate, np.asarray(minutes, dtype=float)))
