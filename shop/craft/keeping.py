"""Keeping: graining, inversion, and what the room's air does to a sweet."""

import math

from scipy.optimize import brentq

from shop.craft.errors import check_range
from shop.craft.glass import glass_transition
from shop.craft.mixture import equilibrium_humidity
from shop.craft.syrup import GAS
from shop.craft.water import KELVIN

CHARLES = "Charles 1960, sucrose in water"
KINETICS = "inversion in dilute solution"
# Acid-catalysed inversion: 6.95e-3 c per minute at 24.7 °C (Royal Society, kinetic salt effects);
# Tombari et al., J. Phys. Chem. B 111 (2007) 496, gives 109.2 kJ/mol.
RATE_H, RATE_AT_C, ACTIVATION = 6.95e-3 / 60, 24.7, 109.2e3
# Neutral water: 2.1e-11 1/s at 27 °C, 8.5e-11 at 37 °C (general-chemistry problem data).
NEUTRAL, NEUTRAL_AT_C, NEUTRAL_ACTIVATION = 2.1e-11, 27.0, 108.2e3


def solubility(temperature_c: float) -> float:
    """Sucrose that water can hold [kg/kg of solution], 0–100 °C.

    64.397 + 0.07251 t + 0.0020569 t² − 9.035e-6 t³ per cent: Charles (1960), from memory.

    >>> round(solubility(20), 3), round(solubility(100), 3)
    (0.666, 0.832)
    """
    check_range("temperature", temperature_c, "°C", 0, 100, CHARLES)
    t = temperature_c
    return (64.397 + 0.07251 * t + 0.0020569 * t**2 - 9.035e-6 * t**3) / 100


def supersaturation(solids: float, sucrose_share: float, temperature_c: float) -> float:
    """Sucrose per water against what the water could hold [1]; above 1 it can grain.

    (w a/(1 − w))/(w_s/(1 − w_s)), w `solids` [kg/kg, 0.3–0.99], a `sucrose_share` of them [0–1].
    The other sugars' own effect on solubility is neglected.

    >>> round(supersaturation(0.97, 0.78, 100), 1)
    5.1
    """
    check_range("solids", solids, "kg/kg", 0.3, 0.99, CHARLES)
    check_range("sucrose share", sucrose_share, "kg/kg", 0, 1, CHARLES)
    holds = solubility(temperature_c)
    return solids * sucrose_share / (1 - solids) / (holds / (1 - holds))


def graining(temperature_c: float, tg_c: float, over: float) -> str:
    """Whether crystals can grow: 'none', 'held by the glass', 'slow' or 'likely' (judgement).

    Below the glass transition nothing moves; far above it, sugar with several times the sucrose
    its water holds (`over`, see `supersaturation`) grains when stirred, scraped or seeded.

    >>> graining(110, 40, 5.1), graining(22, 40, 9.0)
    ('likely', 'held by the glass')
    """
    if over <= 1:
        return "none"
    if temperature_c <= tg_c:
        return "held by the glass"
    return "slow" if temperature_c < tg_c + 40 else "likely"


def inverted(temperature_c: float, minutes: float, ph: float) -> float:
    """Share of the sucrose split into invert [1] by heat and acid; indicative only.

    1 − exp(−k t), k = k_H [H⁺] e^(−E/R (1/T − 1/T₀)) plus the neutral rate; dilute-solution
    kinetics carried to 20–165 °C, `ph` [2–8], `minutes` [min, 0–600]. No source measures a melt.

    >>> [round(inverted(*case), 3) for case in ((110, 10, 4), (110, 10, 5), (150, 5, 5))]
    [0.12, 0.013, 0.152]
    """
    check_range("temperature", temperature_c, "°C", 20, 165, KINETICS)
    check_range("pH", ph, "1", 2, 8, KINETICS)
    check_range("minutes", minutes, "min", 0, 600, KINETICS)
    acid = RATE_H * 10**-ph * _arrhenius(temperature_c, RATE_AT_C, ACTIVATION)
    neutral = NEUTRAL * _arrhenius(temperature_c, NEUTRAL_AT_C, NEUTRAL_ACTIVATION)
    return 1 - math.exp(-(acid + neutral) * minutes * 60)


def _arrhenius(temperature_c: float, at_c: float, activation: float) -> float:
    return math.exp(-activation / GAS * (1 / (temperature_c + KELVIN) - 1 / (at_c + KELVIN)))


def moisture_in_air(humidity: float, room_c: float) -> float:
    """Moisture [kg/kg] that a surface comes to in air of relative `humidity` [1, 0.2–0.75].

    Solved from the sweet's own water activity; `room_c` [°C, 15–40]. A glassy sweet gets there
    only at its face.

    >>> round(moisture_in_air(0.40, 23), 3)
    0.095
    """
    check_range("relative humidity", humidity, "1", 0.2, 0.75, "Starzak and Peacock 1997")
    check_range("room", room_c, "°C", 15, 40, "Starzak and Peacock 1997")

    def apart(moisture: float) -> float:
        return equilibrium_humidity(1 - moisture, room_c) - humidity

    return float(brentq(apart, 0.03, 0.5, xtol=1e-9))


def stickiness(humidity: float, room_c: float) -> float:
    """Kelvins by which a face in that air stands above its glass transition [K]; above 0 it sticks.

    >>> stickiness(0.65, 23) > stickiness(0.35, 23) > 0
    True
    """
    return room_c - glass_transition(min(moisture_in_air(humidity, room_c), 0.3))
