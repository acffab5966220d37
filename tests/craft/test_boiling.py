"""Water and syrup against published values and independent libraries."""

import pytest
from CoolProp import CoolProp
from fluids import ATMOSPHERE_1976
from hypothesis import given
from hypothesis import strategies as st

from shop.craft.air import heat_of_steam
from shop.craft.boil import boil_off_heat
from shop.craft.errors import OutOfRange
from shop.craft.syrup import boiling_point, moisture_at, water_activity
from shop.craft.water import pressure_at_altitude, saturation_pressure, water_boiling_point

SEA = 101_325.0
solids = st.floats(0.0, 0.99)
pressures = st.floats(60_000, 108_000)


@given(st.floats(1, 200))
def test_saturation_pressure_agrees_with_iapws_95(temperature_c: float) -> None:
    # IAPWS-95 through CoolProp; IF97 is fitted to it within 0.02 % here.
    other = CoolProp.PropsSI("P", "T", temperature_c + 273.15, "Q", 0, "Water")
    assert saturation_pressure(temperature_c) == pytest.approx(other, rel=3e-4)


def test_saturation_at_the_tabulated_points_of_if97() -> None:
    # IAPWS R7-97(2012), tables 35 and 36: 500 K → 2.638 897 76 MPa; 1 MPa → 453.035 632 K.
    assert saturation_pressure(500 - 273.15) == pytest.approx(2.63889776e6, rel=1e-8)
    assert water_boiling_point(1e6) == pytest.approx(453.035632 - 273.15, abs=1e-6)


@given(st.floats(0, 5000))
def test_air_pressure_agrees_with_the_standard_atmosphere(altitude_m: float) -> None:
    # U.S. Standard Atmosphere 1976 as coded in the fluids library (geopotential there).
    other = ATMOSPHERE_1976(altitude_m).P
    assert pressure_at_altitude(altitude_m) == pytest.approx(other, rel=2e-3)


@given(st.floats(5, 300))
def test_boiling_point_and_saturation_pressure_are_inverse(temperature_c: float) -> None:
    back = water_boiling_point(saturation_pressure(temperature_c))
    assert back == pytest.approx(temperature_c, abs=1e-5)


@pytest.mark.parametrize(
    ("share", "temperature_c", "tolerance"),
    [
        # Starzak and Peacock 1997, evaluated with an independent program (CoolProp's water).
        (0.50, 101.80, 0.02),
        (0.70, 104.96, 0.02),
        (0.80, 109.44, 0.02),
        (0.90, 122.40, 0.05),
        (0.97, 149.41, 0.10),
        (0.98, 154.18, 0.10),
    ],
)
def test_the_boiling_table_of_sucrose_syrup(
    share: float, temperature_c: float, tolerance: float
) -> None:
    assert boiling_point(share, SEA) == pytest.approx(temperature_c, abs=tolerance)


def test_a_dilute_syrup_agrees_with_the_classic_handbook_table() -> None:
    # Browne, handbook of sugar analysis: 10 % 100.4 °C, 50 % 102.0 °C; 1.5 K apart at 70 %.
    assert boiling_point(0.10, SEA) == pytest.approx(100.4, abs=0.4)
    assert boiling_point(0.50, SEA) == pytest.approx(102.0, abs=0.4)


def test_water_activity_has_its_least_coefficient_near_96_per_cent() -> None:
    # Starzak and Mathlouthi 2006 (abstract): the minimum lies near 96 % and rises above 1 after.
    def coefficient(share: float) -> float:
        water = (1 - share) / 18.0153
        x = water / (water + share / 342.2965)
        return water_activity(share, boiling_point(share, SEA)) / x

    grid = [0.90 + i / 1000 for i in range(91)]
    assert min(grid, key=coefficient) == pytest.approx(0.96, abs=0.01)
    assert coefficient(0.99) > 1


def test_moisture_for_a_cook_at_150_degrees_at_sea_level() -> None:
    assert moisture_at(150.0, SEA) == pytest.approx(0.0288, abs=0.0003)


def test_the_mark_at_1609_metres_drops_more_than_the_rule_of_thumb() -> None:
    # Colorado State University Extension: 2 °F per 1000 ft, 5.87 K at 5279 ft.
    drop = boiling_point(0.97, SEA) - boiling_point(0.97, 83_435.0)
    assert drop == pytest.approx(6.77, abs=0.1)
    assert drop > 5.87


@given(solids, pressures)
def test_boiling_point_rises_strictly_with_solids_and_with_pressure(w: float, p: float) -> None:
    assert boiling_point(w + 0.002, p) > boiling_point(w, p)
    assert boiling_point(w, p + 500) > boiling_point(w, p)


@given(st.floats(0.3, 0.985), pressures)
def test_moisture_and_boiling_point_are_inverse(w: float, p: float) -> None:
    assert moisture_at(boiling_point(w, p), p) == pytest.approx(1 - w, abs=1e-7)


def test_boiling_away_nearly_pure_water_takes_its_heat_of_evaporation() -> None:
    # IAPWS-95 through CoolProp: at 1 bar a kilogram takes 2257 kJ; 5 % sugar changes little.
    steam, water = (CoolProp.PropsSI("H", "P", SEA, "Q", q, "Water") for q in (1, 0))
    dry, wet, less = 0.1, 0.95, 0.90
    gone = dry * (wet / (1 - wet) - less / (1 - less))
    heat = boil_off_heat(dry_kg=dry, from_moisture=wet, to_moisture=less, pressure_pa=SEA)
    assert heat == pytest.approx(gone * (steam - water), rel=0.003)


@given(st.floats(0.05, 0.3), st.floats(0.1, 0.9))
def test_heat_adds_up_along_the_boil(end: float, share: float) -> None:
    start = 0.35
    middle = end + (start - end) * share

    def heat(a: float, b: float) -> float:
        return boil_off_heat(dry_kg=10, from_moisture=a, to_moisture=b, pressure_pa=SEA)

    assert heat(start, middle) + heat(middle, end) == pytest.approx(heat(start, end), rel=1e-3)
    assert 0 < heat(start, middle) < heat(start, end)


@given(pressures)
def test_steam_over_syrup_is_as_iapws_95_has_it(p: float) -> None:
    # Steam superheated to 110 °C over water at 110 °C, each by IAPWS-95 through CoolProp.
    steam = CoolProp.PropsSI("H", "T", 383.15, "P", p, "Water")
    water = CoolProp.PropsSI("H", "T", 383.15, "Q", 0, "Water")
    assert heat_of_steam(110, p) == pytest.approx(steam - water, rel=1e-3)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: boiling_point(0.999, SEA), r"solids is 0.999 kg/kg; Starzak and Peacock 1997"),
        (lambda: boiling_point(0.9, 20_000), r"pressure is 20000 Pa"),
        (lambda: moisture_at(190.0, SEA), r"temperature is 190 °C"),
        (lambda: saturation_pressure(-3), r"temperature is -3 °C; IAPWS-IF97 region 4"),
        (lambda: pressure_at_altitude(20_000), r"U.S. Standard Atmosphere 1976 holds from -500"),
    ],
)
def test_outside_its_range_a_formula_names_value_and_limit(call: object, said: str) -> None:
    assert callable(call)
    with pytest.raises(OutOfRange, match=said):
        call()
