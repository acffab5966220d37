"""Sucrose with glucose syrup, and one composition at two pressures.

`syrup` knows sucrose alone. Glucose syrup enters by its number-average molar mass: a mix boils
like the sucrose syrup with as many moles of sugar per mole of water (`equivalent_solids`). Nobody
has validated that; it moves a 60:40 mix with 42 DE by −1.3 K at 97 % solids, less than
thermometer and probe together, so it is an option and never the default. The sign agrees with a
thesis on caramels, which needed a higher temperature with the smaller sugars of 62 DE.
"""

from shop.craft.air import SEA_LEVEL_PA
from shop.craft.errors import check_range
from shop.craft.syrup import (
    MOLAR_MASS_SUCROSE,
    SOURCE,
    boiling_point,
    moisture_at,
    water_activity,
)
from shop.craft.water import water_boiling_point

LOWEST_PA = 50e3


def mean_molar_mass(glucose_share: float, dextrose_equivalent: float) -> float:
    """Number-average molar mass of the dry mix [g/mol].

    1/M = (1 − s)/342.2965 + s · DE/18016: by the definition of DE (reducing power against dry
    glucose) M_n = 18016/DE. `glucose_share` s [kg/kg of the dry solids, 0–1],
    `dextrose_equivalent` [1–100].

    >>> round(mean_molar_mass(1.0, 42))
    429
    """
    check_range("glucose share", glucose_share, "kg/kg", 0, 1, "the dry mix")
    check_range("dextrose equivalent", dextrose_equivalent, "DE", 1, 100, "its definition")
    moles = (1 - glucose_share) / MOLAR_MASS_SUCROSE + glucose_share * dextrose_equivalent / 18_016
    return 1 / moles


def equivalent_solids(solids: float, molar_mass: float) -> float:
    """Solids [kg/kg] of the sucrose syrup with the same moles of sugar per mole of water.

    w'/(1 − w')/342.2965 = w/(1 − w)/M; `solids` w [kg/kg, 0–1), `molar_mass` M [g/mol, 150–5000].

    >>> round(equivalent_solids(0.97, mean_molar_mass(0.40, 42)), 4)
    0.9674
    """
    check_range("solids", solids, "kg/kg", 0, 0.9999, SOURCE)
    check_range("molar mass", molar_mass, "g/mol", 150, 5000, "number-average of sugars")
    ratio = solids / (1 - solids) * MOLAR_MASS_SUCROSE / molar_mass
    return ratio / (1 + ratio)


def _solids_of(equivalent: float, molar_mass: float) -> float:
    ratio = equivalent / (1 - equivalent) * molar_mass / MOLAR_MASS_SUCROSE
    return ratio / (1 + ratio)


def mix_water_activity(solids: float, temperature_c: float, molar_mass: float) -> float:
    """Water activity [1] of a mix with `solids` [kg/kg] at `temperature_c` [°C].

    >>> mix_water_activity(0.9, 122.4, 342.2965) == water_activity(0.9, 122.4)
    True
    """
    return water_activity(equivalent_solids(solids, molar_mass), temperature_c)


def mix_boiling_point(solids: float, pressure_pa: float, molar_mass: float) -> float:
    """Boiling point [°C] of a mix with `solids` [kg/kg] at `pressure_pa` [Pa, 50–110 kPa].

    >>> round(mix_boiling_point(0.97, 101_325.0, mean_molar_mass(0.40, 42)), 1)
    148.1
    """
    return boiling_point(equivalent_solids(solids, molar_mass), pressure_pa)


def mix_moisture_at(temperature_c: float, pressure_pa: float, molar_mass: float) -> float:
    """Moisture [kg/kg, wet basis] of a mix that boils at `temperature_c` [°C].

    >>> round(mix_moisture_at(150.0, 101_325.0, mean_molar_mass(0.40, 42)), 4)
    0.0266
    """
    return 1 - _solids_of(1 - moisture_at(temperature_c, pressure_pa), molar_mass)


def solids_at(temperature_c: float, pressure_pa: float) -> float:
    """Dry solids [kg/kg] of sucrose syrup that boils at `temperature_c` [°C].

    >>> round(solids_at(150.0, 101_325.0), 4)
    0.9712
    """
    return 1 - moisture_at(temperature_c, pressure_pa)


def at_sea_level(temperature_c: float, pressure_pa: float) -> float:
    """Where the syrup that boils at `temperature_c` [°C] here would boil at 101 325 Pa [°C].

    The same composition at two pressures; `pressure_pa` [Pa, 50–110 kPa] is the one here.

    >>> round(at_sea_level(142.63, 83_435.0), 1)
    149.4
    """
    return boiling_point(solids_at(temperature_c, pressure_pa), SEA_LEVEL_PA)


def from_sea_level(sea_level_c: float, pressure_pa: float) -> float:
    """Where a cook of `sea_level_c` [°C, at 101 325 Pa] boils at `pressure_pa` [Pa]: [°C].

    >>> round(from_sea_level(149.41, 83_435.0), 1)
    142.6
    """
    return boiling_point(solids_at(sea_level_c, SEA_LEVEL_PA), pressure_pa)


def drop_ratio(sea_level_c: float, pressure_pa: float) -> float:
    """Kelvins that syrup boils lower per kelvin that water boils lower [1].

    (T₀ − T(P)) / (T_w,0 − T_w(P)) at the composition that boils at `sea_level_c` [°C] at
    101 325 Pa; `pressure_pa` [Pa] at least 100 Pa away from it. Hot syrup loses more than water.

    >>> round(drop_ratio(149.41, 83_435.0), 2)
    1.27
    """
    apart = abs(SEA_LEVEL_PA - pressure_pa)
    check_range("distance from 101 325 Pa", apart, "Pa", 100, SEA_LEVEL_PA - LOWEST_PA, SOURCE)
    water = water_boiling_point(SEA_LEVEL_PA) - water_boiling_point(pressure_pa)
    return (sea_level_c - from_sea_level(sea_level_c, pressure_pa)) / water


def equilibrium_humidity(solids: float, temperature_c: float) -> float:
    """Relative humidity [1] at which a sweet neither gains nor loses water.

    Its own water activity, here at `temperature_c` [°C, 15–60] and `solids` [kg/kg, 0.5–0.985]:
    drier, the fit bends back at room temperature.

    >>> round(equilibrium_humidity(0.97, 25), 3), round(equilibrium_humidity(0.98, 25), 3)
    (0.173, 0.161)
    """
    check_range("solids", solids, "kg/kg", 0.5, 0.985, SOURCE)
    check_range("temperature", temperature_c, "°C", 15, 60, SOURCE)
    return water_activity(solids, temperature_c)
