"""Boiling syrup: water activity, boiling point and solids of sucrose in water.

One-equation Margules fit of Starzak M., Peacock S. D., Zuckerindustrie (1997):
ln γ_w = Q/(RT) · x² (1 + a x + b x²), x = mole fraction of sucrose, boiling when a_w p_sat(T) = P.
Tested by its authors to very high solids; above 99 % it is an extrapolation.
"""

import math

from scipy.optimize import brentq

from shop.craft.errors import check_range
from shop.craft.water import KELVIN, saturation_pressure

SOURCE = "Starzak and Peacock 1997"
MOLAR_MASS_SUCROSE = 342.2965
MOLAR_MASS_WATER = 18.0153
Q = -17_638.0
A, B = -1.0038, -0.24653
GAS = 8.314462618
MOST_SOLIDS = 0.995


def water_activity(solids: float, temperature_c: float) -> float:
    """Water activity [1] of syrup with `solids` [kg/kg, 0–0.995] at `temperature_c` [°C].

    >>> round(water_activity(0.90, 122.40), 4)
    0.4729
    """
    check_range("solids", solids, "kg/kg", 0, MOST_SOLIDS, SOURCE)
    sucrose, water = solids / MOLAR_MASS_SUCROSE, (1 - solids) / MOLAR_MASS_WATER
    x = sucrose / (sucrose + water)
    exponent = Q / (GAS * (temperature_c + KELVIN)) * x * x * (1 + A * x + B * x * x)
    return (1 - x) * math.exp(exponent)


def boiling_point(solids: float, pressure_pa: float) -> float:
    """Boiling point [°C] of syrup with `solids` [kg/kg] at `pressure_pa` [Pa, 50–110 kPa].

    >>> round(boiling_point(0.97, 101_325.0), 2)
    149.41
    """
    check_range("pressure", pressure_pa, "Pa", 50e3, 110e3, SOURCE)

    def excess(temperature_c: float) -> float:
        return (
            water_activity(solids, temperature_c) * saturation_pressure(temperature_c) - pressure_pa
        )

    return float(brentq(excess, 70.0, 300.0, xtol=1e-9))


def moisture_at(temperature_c: float, pressure_pa: float) -> float:
    """Moisture [kg/kg, wet basis] of syrup that boils at `temperature_c` [°C].

    >>> round(moisture_at(150.0, 101_325.0), 4)
    0.0288
    """
    low, high = boiling_point(0.0, pressure_pa), boiling_point(MOST_SOLIDS, pressure_pa)
    check_range("temperature", temperature_c, "°C", low, high, SOURCE)
    return 1.0 - float(
        brentq(lambda w: boiling_point(w, pressure_pa) - temperature_c, 0, MOST_SOLIDS, xtol=1e-9)
    )
