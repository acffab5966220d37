"""Water and air pressure: IAPWS-IF97 region 4, and the standard atmosphere."""

from iapws.iapws97 import _PSat_T, _TSat_P

from shop.craft.errors import check_range

KELVIN = 273.15


def saturation_pressure(temperature_c: float) -> float:
    """Saturation pressure of water [Pa] at `temperature_c` [°C], 0–350 °C.

    IAPWS-IF97, region 4 (R7-97(2012), equation 30), through the `iapws` package.

    >>> round(saturation_pressure(100.0))
    101418
    """
    check_range("temperature", temperature_c, "°C", 0, 350, "IAPWS-IF97 region 4")
    return float(_PSat_T(temperature_c + KELVIN)) * 1e6


def water_boiling_point(pressure_pa: float) -> float:
    """Boiling point of water [°C] at `pressure_pa` [Pa], 700 Pa – 10 MPa.

    IAPWS-IF97, region 4 (R7-97(2012), equation 31).

    >>> round(water_boiling_point(83_435.0), 2)
    94.62
    """
    check_range("pressure", pressure_pa, "Pa", 700, 1e7, "IAPWS-IF97 region 4")
    return float(_TSat_P(pressure_pa / 1e6)) - KELVIN


def pressure_at_altitude(altitude_m: float) -> float:
    """Standard air pressure [Pa] at `altitude_m` [m], −500 – 11 000 m.

    P = 101325 (1 − 2.25577e-5 z)^5.25588, U.S. Standard Atmosphere 1976, troposphere.

    >>> round(pressure_at_altitude(1609.0))
    83431
    """
    check_range("altitude", altitude_m, "m", -500, 11_000, "U.S. Standard Atmosphere 1976")
    return float(101_325.0 * (1 - 2.25577e-5 * altitude_m) ** 5.25588)
