"""The air of the room: its pressure from what can be read, steam into it, dew out of it."""

from iapws.iapws97 import _Region1, _Region2

from shop.craft.errors import check_range
from shop.craft.water import (
    KELVIN,
    pressure_at_altitude,
    saturation_pressure,
    water_boiling_point,
)

SEA_LEVEL_PA = 101_325.0
IF97 = "IAPWS-IF97 region 4"


def pressure_from_forecast(sea_level_pa: float, altitude_m: float) -> float:
    """Pressure in the room [Pa] from a weather report's, which is told as if at sea level.

    P = P₀ · P_std(z)/P_std(0) with U.S. Standard Atmosphere 1976; `sea_level_pa` [Pa, 87–109 kPa],
    `altitude_m` [m, −500 – 11 000]. A barometer that hangs in the room and was never set to the
    forecast already shows the room's own pressure.

    >>> round(pressure_from_forecast(101_325.0, 500.0))
    95461
    """
    check_range("sea-level pressure", sea_level_pa, "Pa", 87e3, 109e3, "the weather on record")
    return sea_level_pa * pressure_at_altitude(altitude_m) / pressure_at_altitude(0.0)


def pressure_from_boiling_water(water_boils_c: float) -> float:
    """Air pressure [Pa] where a trusted thermometer shows boiling water at `water_boils_c` [°C].

    IAPWS-IF97 equation 30, read backwards; 60–105 °C, which covers every town on earth.

    >>> round(pressure_from_boiling_water(94.62) / 1000, 2)
    83.43
    """
    check_range("boiling water", water_boils_c, "°C", 60, 105, IF97)
    return saturation_pressure(water_boils_c)


def heat_of_steam(temperature_c: float, pressure_pa: float) -> float:
    """Heat that turns water into steam [J/kg], both at `temperature_c` [°C], at `pressure_pa` [Pa].

    Δh = h_steam(T, P) − h_water(T), IAPWS-IF97 regions 2 and 1. Above syrup the steam is hotter
    than water boils at that pressure. Holds from water's boiling point to 250 °C; the liquid is
    taken on the saturation line, where pressure hardly changes it. At 100 °C steam tables print
    2256.5 kJ/kg.

    >>> round(heat_of_steam(100.0, 101_325.0) / 1000, 1)
    2256.5
    """
    low = water_boiling_point(pressure_pa)
    check_range("temperature", temperature_c, "°C", low, 250, "IAPWS-IF97 region 2")
    kelvin = temperature_c + KELVIN
    steam = _Region2(kelvin, pressure_pa / 1e6)["h"]
    liquid = _Region1(kelvin, saturation_pressure(temperature_c) / 1e6)["h"]
    return float(steam - liquid) * 1000


def dew_point(air_c: float, relative_humidity: float) -> float:
    """Temperature [°C] below which a table sweats.

    p_sat(T_dew) = φ p_sat(T_air), IAPWS-IF97; `air_c` [°C, 5–60], `relative_humidity` φ [1]. A dew
    point under 1.7 °C is refused: it would be frost.

    >>> round(dew_point(23.0, 0.45), 1)
    10.4
    """
    check_range("air temperature", air_c, "°C", 5, 60, IF97)
    check_range("relative humidity", relative_humidity, "1", 0.01, 1, IF97)
    return water_boiling_point(relative_humidity * saturation_pressure(air_c))
