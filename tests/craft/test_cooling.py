"""Cooling against series solutions, and coefficients against independent libraries."""

import numpy as np
import pytest
from CoolProp import CoolProp
from ht import Nu_horizontal_cylinder_Churchill_Chu, Nu_horizontal_plate_McAdams
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

from shop.craft.conduction import Body, cool
from shop.craft.cool import after, folded, open_times, seconds_until
from shop.craft.errors import OutOfRange
from shop.craft.heat import (
    BEDS,
    Thermal,
    air_at,
    choi_okos,
    contact_temperature,
    convection_from_plate,
    convection_from_rod,
    radiation,
    rayleigh,
)

SUGAR = Thermal(0.30, 1430.0, 1900.0)


def slab_series(biot: float, fourier: float) -> tuple[float, float, float]:
    """Insulated face, cooled face and mean [1] of a plane wall, 60 terms (handbooks)."""
    z = np.array(
        [
            brentq(
                lambda x: x * np.sin(x) - biot * np.cos(x),
                n * np.pi + 1e-12,
                (n + 0.5) * np.pi,
            )
            for n in range(60)
        ]
    )
    terms = 4 * np.sin(z) / (2 * z + np.sin(2 * z)) * np.exp(-(z**2) * fourier)
    return terms.sum(), (terms * np.cos(z)).sum(), (terms * np.sin(z) / z).sum()


def rod_series(biot: float, fourier: float) -> tuple[float, float, float]:
    """Surface, axis and mean [1] of a long cylinder, 40 terms, with scipy's Bessel functions."""
    high = np.concatenate([jn_zeros(0, 40)])
    low = np.concatenate([[0.0], jn_zeros(1, 39)])
    z = np.array(
        [
            brentq(lambda x: x * j1(x) - biot * j0(x), a + 1e-12, b)
            for a, b in zip(low, high, strict=True)
        ]
    )
    terms = 2 / z * j1(z) / (j0(z) ** 2 + j1(z) ** 2) * np.exp(-(z**2) * fourier)
    return (terms * j0(z)).sum(), terms.sum(), (terms * 2 * j1(z) / z).sum()


@pytest.mark.parametrize(
    ("biot", "first", "third"),
    [(0.1, 0.31105, 6.29906), (1, 0.86033, 6.43730), (10, 1.42887, 7.22811)],
)
def test_the_series_has_the_tabulated_roots(biot: float, first: float, third: float) -> None:
    # Roots of z tan z = Bi as printed in heat-conduction handbooks (Carslaw and Jaeger, from
    # memory), computed again here.
    for wanted, n in ((first, 0), (third, 2)):
        root = brentq(
            lambda x: x * np.sin(x) - biot * np.cos(x), n * np.pi + 1e-9, (n + 0.5) * np.pi
        )
        assert root == pytest.approx(wanted, abs=1e-5)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.006, 0.03), st.floats(50, 800), st.floats(30, 1500))
def test_a_poured_sheet_agrees_with_the_series(thickness: float, h: float, seconds: float) -> None:
    sheet = Body(thickness, SUGAR, 145.0, above=0.0, below=h, bed_c=20.0)
    got = after(sheet, seconds)
    top, bottom, mean = slab_series(
        h * thickness / SUGAR.conductivity, SUGAR.diffusivity * seconds / thickness**2
    )
    for value, theta in ((got.skin, top), (got.bottom, bottom), (got.mean, mean)):
        assert value == pytest.approx(20 + 125 * theta, abs=0.3)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.01, 0.2), st.floats(4, 40), st.floats(60, 3600))
def test_a_rod_agrees_with_the_bessel_series(diameter: float, h: float, seconds: float) -> None:
    # A thick log's skin is half a kelvin off in its first minute: there the cells are coarse.
    got = after(Body(diameter, SUGAR, 75.0, air_c=24.0, is_round=True, above=h), seconds)
    radius = diameter / 2
    skin, axis, mean = rod_series(
        h * radius / SUGAR.conductivity, SUGAR.diffusivity * seconds / radius**2
    )
    for value, theta in ((got.skin, skin), (got.core, axis), (got.mean, mean)):
        assert value == pytest.approx(24 + 51 * theta, abs=0.5)


def test_the_brass_plate_comes_out_at_448_not_at_the_printed_445() -> None:
    # Cengel, Heat Transfer, problem 4-36. Worked answers print 445 °C: they interpolate the table
    # of roots in a straight line. The exact series gives 448.24 °C.
    alpha, k = 33.9e-6, 110.0
    brass = Thermal(k, 1.0e3, k / alpha / 1.0e3)
    got = after(Body(0.015, brass, 25.0, above=0.0, below=80.0, bed_c=700.0), 600.0)
    assert got.bottom == pytest.approx(448.24, abs=0.3)


def test_a_table_with_a_heat_bank_ends_where_the_heat_balance_says() -> None:
    # Energy: an insulated pair comes to the mean of both, weighted by what they hold.
    bank, holds = 36.9e3, SUGAR.density * SUGAR.heat_capacity * 0.010
    sheet = Body(0.010, SUGAR, 145.0, above=0.0, below=300.0, bed_c=25.0, bank=bank)
    got = after(sheet, 6 * 3600.0)
    both = (holds * 145 + bank * 25) / (holds + bank)
    assert got.mean == pytest.approx(both, abs=0.2)
    assert got.bed == pytest.approx(both, abs=0.2)


@settings(max_examples=15, deadline=None)
@given(st.floats(0.005, 0.04), st.floats(20, 600), st.floats(20, 60), st.floats(1e4, 1e5))
def test_what_the_sugar_loses_the_table_gains(
    thickness: float, h: float, bed_c: float, bank: float
) -> None:
    sheet = Body(thickness, SUGAR, 140.0, above=0.0, below=h, bed_c=bed_c, bank=bank)
    course = cool([sheet], [900.0])
    holds = SUGAR.density * SUGAR.heat_capacity * thickness
    total = holds * course.mean[0] + bank * course.bed[0]
    assert total == pytest.approx(np.full_like(total, total[0]), rel=2e-3)


@settings(max_examples=15, deadline=None)
@given(st.floats(0.004, 0.05), st.floats(60, 120), st.floats(5, 35))
def test_cooling_only_ever_cools_and_stops_at_the_air(h: float, start: float, air: float) -> None:
    course = cool([Body(h, SUGAR, start, air_c=air, bed_c=air, below=5.0)], [3600.0])
    assert np.all(np.diff(course.mean[0]) <= 1e-9)
    assert np.all(course.skin[0] >= air - 1e-6)


def test_many_bodies_cool_together_as_they_do_alone() -> None:
    strips = [Body(0.005 + 0.002 * i, SUGAR, 85.0, below=4.0) for i in range(6)]
    together = seconds_until(strips, [70.0] * 6)
    alone = [float(seconds_until([strip], [70.0])[0]) for strip in strips]
    assert together == pytest.approx(alone, rel=1e-3)


def test_open_time_grows_a_little_faster_than_thickness() -> None:
    # Common practice, no source: 6 mm stays open about 4 minutes on a dry board, 25 mm about 19.
    thin, thick = open_times(
        [Body(h, Thermal(0.3, 1400.0, 1800.0), 85.0, below=2.0) for h in (0.006, 0.025)],
        from_c=85.0,
        to_c=70.0,
    )
    assert thick / thin == pytest.approx(19 / 4, rel=0.25)
    assert thin / 60 == pytest.approx(4, rel=0.3)


def test_folding_carries_the_hot_middle_to_the_iron() -> None:
    sheet = Body(0.015, SUGAR, 145.0, above=0.0, below=200.0, bed_c=20.0)
    turned = folded(sheet, [60.0, 120.0, 180.0, 240.0], 300.0)
    assert turned.mean[0, -1] < cool([sheet], [300.0]).mean[0, -1] - 5


@given(st.floats(40, 150), st.floats(5, 35))
def test_convection_agrees_with_an_independent_library(surface: float, air: float) -> None:
    # The `ht` library's McAdams and Churchill–Chu.
    film = (surface + air) / 2
    k, _, prandtl = air_at(film, 101_325.0)
    ra = rayleigh(surface, air, 0.25)
    plate = Nu_horizontal_plate_McAdams(Pr=prandtl, Gr=ra / prandtl, buoyancy=True)
    assert convection_from_plate(surface, air, 0.25) == pytest.approx(plate * k / 0.25, rel=1e-6)
    ra = rayleigh(surface, air, 0.014)
    rod = Nu_horizontal_cylinder_Churchill_Chu(Pr=prandtl, Gr=ra / prandtl)
    assert convection_from_rod(surface, air, 0.014) == pytest.approx(rod * k / 0.014, rel=1e-6)


@given(st.floats(0, 150), st.floats(65e3, 105e3))
def test_air_agrees_with_an_independent_library(celsius: float, pressure: float) -> None:
    # CoolProp's dry air.
    k, kinematic, _ = air_at(celsius, pressure)
    state = (("T", celsius + 273.15, "P", pressure), "Air")
    viscosity = CoolProp.PropsSI("V", *state[0], state[1])
    density = CoolProp.PropsSI("D", *state[0], state[1])
    assert k == pytest.approx(CoolProp.PropsSI("L", *state[0], state[1]), rel=0.02)
    assert kinematic == pytest.approx(viscosity / density, rel=0.02)


def test_the_face_at_120_degrees() -> None:
    # McAdams and Stefan–Boltzmann, evaluated with an independent program.
    assert convection_from_plate(120, 22, 0.25) == pytest.approx(7.52, abs=0.25)
    assert radiation(120, 22, 0.95) == pytest.approx(8.96, abs=0.02)


def test_first_contact_and_mixed_properties() -> None:
    # Choi and Okos (1986) and handbook effusivities (from memory), evaluated independently.
    assert contact_temperature(SUGAR, 150, BEDS["granite"], 20) == pytest.approx(55.1, abs=0.2)
    assert contact_temperature(SUGAR, 150, BEDS["maple"], 20) == pytest.approx(107.6, abs=0.3)
    assert choi_okos(0.97, 100).diffusivity == pytest.approx(1.163e-7, rel=2e-3)


def test_outside_the_model_value_and_limit_are_named() -> None:
    with pytest.raises(OutOfRange, match=r"thickness is -0.01 m; the cooling model holds from"):
        cool([Body(-0.01, SUGAR, 85.0)], [60.0])
    with pytest.raises(OutOfRange, match=r"span is nan s"):
        cool([Body(0.01, SUGAR, 85.0)], [float("nan")])
