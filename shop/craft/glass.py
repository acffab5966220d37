"""Glass and melt: where boiled sugar turns to glass, and how thick it is above that.

Universal WLF constants rank temperatures, they do not give forces: against the syrup formula
carried on to 97 % they differ by a decade at 90–100 °C and by two at 150 °C (`viscosities`). No
readable source measures boiled-sugar melt between 90 and 150 °C.
"""

import math
from typing import NamedTuple

import numpy as np

from shop.craft.errors import check_range
from shop.craft.water import KELVIN

TG_WATER_C = -135.0
TG_SUCROSE_C = 62.0
K_SUCROSE = 4.7
LOG10_ETA_GLASS = 12.0
C1, C2_K = 17.44, 51.6
GORDON_TAYLOR = "Gordon–Taylor for sugar and water"
WLF = "WLF with universal constants"
GENOTELLE = "Génotelle's syrup formula"
# Dry maltodextrins by DE: Roos and Karel, Biotechnol. Prog. 7 (1991) 49, as seen in abstract, from
# memory; DE 100 is glucose itself, reference text.
TG_BY_DE = {5: 188.0, 10: 160.0, 20: 141.0, 25: 121.0, 36: 100.0, 100: 31.0}


def glass_transition(moisture: float, dry_c: float = TG_SUCROSE_C, k: float = K_SUCROSE) -> float:
    """Glass transition [°C] of sugar with `moisture` [kg/kg, 0–0.3].

    T_g = (w_s T_g,s + k w_w T_g,w)/(w_s + k w_w), kelvin, T_g,w = −135 °C: Gordon–Taylor, as in
    Berk (2009). `dry_c` [°C, 0–200]: sucrose 62 (60–77 by heating history). `k` [1, 1–10]: sucrose
    4.7 (Roos; others 5.42 and 3.675, from memory). Commercial boiled sweets measure 28–49 °C
    (Kawai et al., J. Appl. Glycosci. 66 (2019) 89).

    >>> round(glass_transition(0.03), 1)
    37.0
    """
    check_range("moisture", moisture, "kg/kg", 0, 0.3, GORDON_TAYLOR)
    check_range("dry glass transition", dry_c, "°C", 0, 200, GORDON_TAYLOR)
    check_range("k", k, "1", 1, 10, GORDON_TAYLOR)
    dry, wet = 1 - moisture, k * moisture
    kelvin = (dry * (dry_c + KELVIN) + wet * (TG_WATER_C + KELVIN)) / (dry + wet)
    return kelvin - KELVIN


def moisture_at_glass(tg_c: float, dry_c: float = TG_SUCROSE_C, k: float = K_SUCROSE) -> float:
    """Moisture [kg/kg] that puts the glass transition at `tg_c` [°C]: the inverse.

    >>> round(moisture_at_glass(37.0), 3)
    0.03
    """
    low = glass_transition(0.3, dry_c, k)
    check_range("glass transition", tg_c, "°C", low, dry_c, GORDON_TAYLOR)
    return (dry_c - tg_c) / (dry_c - tg_c + k * (tg_c - TG_WATER_C))


def dry_glass_of_syrup(dextrose_equivalent: float) -> float:
    """Dry glass transition of glucose-syrup solids [°C] by DE [5–100], linear between points.

    Points from Roos and Karel (1991), abstract, from memory, and glucose. Measured mixes disagree:
    up to half tapioca syrup solids moved sucrose's T_g by nothing (J. Food Eng. 81 (2007) 599).

    >>> round(dry_glass_of_syrup(42), 1)
    93.5
    """
    check_range("dextrose equivalent", dextrose_equivalent, "DE", 5, 100, "Roos and Karel 1991")
    return float(np.interp(dextrose_equivalent, list(TG_BY_DE), list(TG_BY_DE.values())))


def dry_glass_of_mix(shares: dict[float, float]) -> float:
    """Dry glass transition [°C] of a mix from `{dry T_g [°C]: share [kg/kg]}`; shares sum to 1.

    Mass-weighted in kelvin (Gordon–Taylor, k = 1 between sugars); fructose 5, glucose 31 °C
    (reference text). Invert made in the kettle lowers it; whether syrup solids raise it, sources
    disagree: take 62 °C for sucrose with 42 DE unless measured.

    >>> round(dry_glass_of_mix({62.0: 0.95, 5.0: 0.025, 31.0: 0.025}), 1)
    59.8
    """
    check_range("sum of shares", sum(shares.values()), "kg/kg", 0.999, 1.001, "a whole mix")
    return sum((tg + KELVIN) * share for tg, share in shares.items()) - KELVIN


def log10_viscosity(temperature_c: float, tg_c: float) -> float:
    """log₁₀ of the viscosity of the melt [log₁₀ Pa·s] at `temperature_c`, T_g to T_g + 115 K.

    log₁₀ η = 12 − 17.44 (T − T_g)/(51.6 + T − T_g): Williams–Landel–Ferry, universal constants
    (Berk 2009); 10¹² Pa·s at T_g. Usually quoted to T_g + 100 K.

    >>> round(log10_viscosity(87.0, 37.0), 3)
    3.417
    """
    above = temperature_c - tg_c
    check_range("temperature above glass transition", above, "K", 0, 115, WLF)
    return LOG10_ETA_GLASS - C1 * above / (C2_K + above)


def temperature_at_viscosity(log10_eta: float, tg_c: float) -> float:
    """Temperature [°C] at which the melt has the viscosity `log10_eta` [log₁₀ Pa·s, 0–12].

    The inverse of `log10_viscosity`: T = T_g + 51.6 y/(17.44 − y), y = 12 − log₁₀ η. Pulling is
    about 10⁴–10⁵, rolling 10⁵–10⁶, cutting 10⁶–10⁸ Pa·s (judgement, fits common practice).

    >>> round(temperature_at_viscosity(5, 40.0), 1)
    74.6
    """
    check_range("log viscosity", log10_eta, "log10 Pa·s", 0, LOG10_ETA_GLASS, WLF)
    fallen = LOG10_ETA_GLASS - log10_eta
    return tg_c + C2_K * fallen / (C1 - fallen)


def syrup_log10_viscosity(
    solids: float, temperature_c: float, *, carried_on: bool = False
) -> float:
    """log₁₀ of the viscosity of syrup [log₁₀ Pa·s].

    log₁₀ μ[mPa·s] = 22.46 N − 0.114 + (30 − t)/(91 + t) · (1.1 + 43.1 N^1.25), N = B/(1900 − 18 B),
    B = 100 `solids`: Génotelle, from memory; within 2.4 % of the CRC handbook, 60–74 %. Holds for
    solids 0.2–0.86, 0–100 °C; `carried_on` allows 0.99 and 160 °C, which nobody has measured.

    >>> round(1000 * 10 ** syrup_log10_viscosity(0.70, 20.0), 1)
    485.2
    """
    most, hottest = (0.99, 160) if carried_on else (0.86, 100)
    check_range("solids", solids, "kg/kg", 0.2, most, GENOTELLE)
    check_range("temperature", temperature_c, "°C", 0, hottest, GENOTELLE)
    brix = 100 * solids
    n = brix / (1900 - 18 * brix)
    cold = (30 - temperature_c) / (91 + temperature_c)
    return float(22.46 * n - 0.114 + cold * (1.1 + 43.1 * n**1.25) - 3)


class Viscosities(NamedTuple):
    """Two answers to one question [log₁₀ Pa·s], and how many decades they lie apart."""

    by_glass: float
    by_syrup: float
    decades_apart: float


def viscosities(moisture: float, temperature_c: float, tg_c: float) -> Viscosities:
    """WLF above the glass, and the syrup formula carried on, for one melt; both are guesses.

    >>> [round(x, 2) for x in viscosities(0.03, 90.0, 40.0)]
    [3.42, 2.65, 0.77]
    """
    glass = log10_viscosity(temperature_c, tg_c)
    syrup = syrup_log10_viscosity(1 - moisture, temperature_c, carried_on=True)
    return Viscosities(glass, syrup, abs(glass - syrup))


def stiffness_ratio(a_c: float, a_tg_c: float, b_c: float, b_tg_c: float) -> float:
    """How many times stiffer part a is than its neighbour b [1], by WLF at their temperatures.

    >>> round(stiffness_ratio(75, 40, 80, 40), 1)
    3.7
    """
    return math.pow(10, log10_viscosity(a_c, a_tg_c) - log10_viscosity(b_c, b_tg_c))
