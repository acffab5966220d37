"""Heat: what sugar holds and conducts, and what air takes from its faces."""

import math
from dataclasses import dataclass

from shop.craft.errors import check_range
from shop.craft.water import KELVIN

STEFAN_BOLTZMANN = 5.670374419e-8
GRAVITY = 9.80665
GAS_OF_AIR = 287.05
CHOI_OKOS = "Choi and Okos 1986"
MCADAMS = "McAdams, hot plate facing up"
CHURCHILL_CHU = "Churchill and Chu, horizontal cylinder"
AIR = "U.S. Standard Atmosphere 1976, air"


@dataclass(frozen=True, slots=True)
class Thermal:
    """Conductivity [W/m K], density [kg/m³] and heat capacity [J/kg K] of a material."""

    conductivity: float
    density: float
    heat_capacity: float

    @property
    def diffusivity(self) -> float:
        """k/(ρ c) [m²/s]."""
        return self.conductivity / (self.density * self.heat_capacity)

    @property
    def effusivity(self) -> float:
        """√(k ρ c) [W √s/m² K]."""
        return math.sqrt(self.conductivity * self.density * self.heat_capacity)


# Handbook values, from memory; the `ht` library lists steel 50/7800/450 and granite 2.8/2600/1000.
BEDS = {
    "carbon steel": Thermal(50.0, 7850.0, 470.0),
    "stainless steel": Thermal(15.0, 7900.0, 490.0),
    "aluminium": Thermal(205.0, 2700.0, 900.0),
    "marble": Thermal(2.8, 2700.0, 880.0),
    "granite": Thermal(2.8, 2650.0, 800.0),
    "silicone": Thermal(0.2, 1150.0, 1250.0),
    "maple": Thermal(0.16, 700.0, 1700.0),
}


def boiled_sugar(density: float) -> Thermal:
    """Boiled sugar of this density [kg/m³] between 80 and 150 °C: 0.30 W/m K, 1900 J/kg K.

    Sources give 0.25–0.35 and 1750–2100 (judgement over them; Choi and Okos 1986: 0.31, 1700).

    >>> boiled_sugar(1430.0)
    Thermal(conductivity=0.3, density=1430.0, heat_capacity=1900.0)
    """
    return Thermal(0.30, density, 1900.0)


def choi_okos(solids: float, temperature_c: float) -> Thermal:
    """Properties of carbohydrate in water by Choi and Okos (1986).

    Component polynomials in °C; ρ by added volumes, c by mass, k by volume share. `solids`
    [kg/kg, 0–1], `temperature_c` [°C, 0–150]. Solids count as crystal-like: ρ comes out high
    for a melt (1565 against about 1520 kg/m³ at 20 °C).

    >>> syrup = choi_okos(0.97, 100.0)
    >>> round(syrup.conductivity, 3), round(syrup.heat_capacity), round(syrup.density)
    (0.315, 1762, 1539)
    """
    check_range("solids", solids, "kg/kg", 0, 1, CHOI_OKOS)
    check_range("temperature", temperature_c, "°C", 0, 150, CHOI_OKOS)
    t = temperature_c
    dry = Thermal(
        0.20141 + 1.3874e-3 * t - 4.3312e-6 * t**2,
        1599.1 - 0.31046 * t,
        1548.8 + 1.9625 * t - 5.9399e-3 * t**2,
    )
    water = Thermal(
        0.57109 + 1.7625e-3 * t - 6.7036e-6 * t**2,
        997.18 + 3.1439e-3 * t - 3.7574e-3 * t**2,
        4176.2 - 9.0864e-2 * t + 5.4731e-3 * t**2,
    )
    volume_dry, volume_water = solids / dry.density, (1 - solids) / water.density
    share = volume_dry / (volume_dry + volume_water)
    return Thermal(
        share * dry.conductivity + (1 - share) * water.conductivity,
        1 / (volume_dry + volume_water),
        solids * dry.heat_capacity + (1 - solids) * water.heat_capacity,
    )


def crystal_heat_capacity(temperature_c: float) -> float:
    """Heat capacity of crystal sucrose [J/kg K], 0–100 °C: 1135.5 + 4.31 t (Mohos 2010, A1.3).

    >>> round(crystal_heat_capacity(60))
    1394
    """
    check_range("temperature", temperature_c, "°C", 0, 100, "Mohos 2010, appendix 1.3")
    return 1135.5 + 4.31 * temperature_c


def melt_density(temperature_c: float, tg_c: float, at_20_c: float = 1520.0) -> float:
    """Density of clear melt or glass without bubbles [kg/m³], 0–160 °C; an estimate, ± 2 %.

    ρ = ρ₂₀ (1 − β_g (T_g − 20) − β_m (T − T_g)), β_g 2.3e-4, β_m 5.5e-4 1/K (by analogy, from
    memory); `tg_c` [°C, 20–80]. ρ₂₀ 1500–1540 kg/m³, carried on from the CRC handbook's 84 %
    syrup. The often-quoted 1430 is lighter than that syrup and can't be right.

    >>> [round(melt_density(t, 45.0)) for t in (20, 60, 90, 120, 150)]
    [1520, 1499, 1474, 1449, 1423]
    """
    check_range("temperature", temperature_c, "°C", 0, 160, "thermal expansion of melt and glass")
    check_range("glass transition", tg_c, "°C", 20, 80, "thermal expansion of melt and glass")
    glass = min(temperature_c, tg_c) - 20
    melt = max(temperature_c - tg_c, 0)
    return at_20_c * (1 - 2.3e-4 * glass - 5.5e-4 * melt)


def syrup_density(solids: float, temperature_c: float) -> float:
    """Density of syrup [kg/m³], `solids` 0–0.85 kg/kg, 0–100 °C.

    ρ = 1000 (1 + B(B + 200)/54000)(1 − 0.036 (t − 20)/(160 − t)), B = 100 `solids`: a sugar
    factory's formula, from memory; 0.24 % above the CRC handbook at 20 °C. Singular at 160 °C:
    never for the cook.

    >>> round(syrup_density(0.70, 20.0))
    1350
    """
    check_range("solids", solids, "kg/kg", 0, 0.85, "a sugar factory's density formula")
    check_range("temperature", temperature_c, "°C", 0, 100, "a sugar factory's density formula")
    brix = 100 * solids
    warm = 1 - 0.036 * (temperature_c - 20) / (160 - temperature_c)
    return 1000 * (1 + brix * (brix + 200) / 54_000) * warm


def contact_temperature(a: Thermal, a_c: float, b: Thermal, b_c: float) -> float:
    """Temperature [°C] where two thick bodies touch, at the first instant.

    T = (e₁T₁ + e₂T₂)/(e₁ + e₂), e the effusivity. Handbook heat conduction.

    >>> sugar = Thermal(0.30, 1430.0, 1900.0)
    >>> round(contact_temperature(sugar, 150.0, BEDS["carbon steel"], 20.0), 1)
    28.1
    """
    return (a.effusivity * a_c + b.effusivity * b_c) / (a.effusivity + b.effusivity)


def air_at(film_c: float, pressure_pa: float) -> tuple[float, float, float]:
    """Conductivity [W/m K], kinematic viscosity [m²/s] and Prandtl number [1] of dry air.

    Sutherland forms of U.S. Standard Atmosphere 1976: μ = 1.458e-6 T^1.5/(T + 110.4), k =
    2.64638e-3 T^1.5/(T + 245.4·10^(−12/T)); ρ as ideal gas, c_p 1007 J/kg K. −20 – 200 °C.

    >>> k, nu, prandtl = air_at(26.85, 101_325.0)
    >>> round(k, 4), round(nu * 1e6, 1), round(prandtl, 2)
    (0.0263, 15.7, 0.71)
    """
    check_range("film temperature", film_c, "°C", -20, 200, AIR)
    check_range("pressure", pressure_pa, "Pa", 50e3, 110e3, AIR)
    kelvin = film_c + KELVIN
    viscosity = 1.458e-6 * kelvin**1.5 / (kelvin + 110.4)
    conductivity = 2.64638e-3 * kelvin**1.5 / (kelvin + 245.4 * 10 ** (-12 / kelvin))
    kinematic = viscosity * GAS_OF_AIR * kelvin / pressure_pa
    return conductivity, kinematic, viscosity * 1007 / conductivity


def rayleigh(
    surface_c: float, air_c: float, length_m: float, pressure_pa: float = 101_325.0
) -> float:
    """Rayleigh number of air at a face [1]: g β ΔT L³ Pr/ν², properties at the film.

    >>> f"{rayleigh(120, 22, 0.25):.2e}"
    '7.62e+07'
    """
    film = (surface_c + air_c) / 2
    _, kinematic, prandtl = air_at(film, pressure_pa)
    lift = GRAVITY / (film + KELVIN) * abs(surface_c - air_c) * length_m**3
    return lift * prandtl / kinematic**2


def convection_from_plate(
    surface_c: float, air_c: float, length_m: float, pressure_pa: float = 101_325.0
) -> float:
    """Heat transfer coefficient of still air over a hot face that looks up [W/m² K].

    Nu = 0.54 Ra^¼ (10⁴–10⁷), 0.15 Ra^⅓ (10⁷–10¹¹): McAdams. `length_m` [m] is the short side or
    area over perimeter, as the handbooks say. Temperatures [°C], the face the hotter.

    >>> round(convection_from_plate(120, 22, 0.25), 1)
    7.5
    """
    check_range("face above air", surface_c - air_c, "K", 0.01, 200, MCADAMS)
    ra = rayleigh(surface_c, air_c, length_m, pressure_pa)
    check_range("Rayleigh number", ra, "1", 1e4, 1e11, MCADAMS)
    nusselt = 0.54 * ra**0.25 if ra < 1e7 else 0.15 * ra ** (1 / 3)
    return float(nusselt * air_at((surface_c + air_c) / 2, pressure_pa)[0] / length_m)


def convection_from_rod(
    surface_c: float, air_c: float, diameter_m: float, pressure_pa: float = 101_325.0
) -> float:
    """Heat transfer coefficient of still air round a lying cylinder [W/m² K].

    Nu = (0.60 + 0.387 Ra^(1/6)/(1 + (0.559/Pr)^(9/16))^(8/27))², Ra ≤ 10¹²: Churchill and Chu
    (1975). Temperatures [°C], `diameter_m` [m].

    >>> round(convection_from_rod(75, 24, 0.014), 1)
    8.6
    """
    ra = rayleigh(surface_c, air_c, diameter_m, pressure_pa)
    check_range("Rayleigh number", ra, "1", 1e-5, 1e12, CHURCHILL_CHU)
    conductivity, _, prandtl = air_at((surface_c + air_c) / 2, pressure_pa)
    spread = (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)
    return float((0.60 + 0.387 * ra ** (1 / 6) / spread) ** 2 * conductivity / diameter_m)


def radiation(surface_c: float, around_c: float, emissivity: float = 0.95) -> float:
    """Radiation to the room as a coefficient [W/m² K]: ε σ (T_s² + T_a²)(T_s + T_a).

    Stefan–Boltzmann; a small body in a large room. Emissivity 0.95 (0.90–0.97) by analogy with
    water, glass and paint: none is published for sugar.

    >>> round(radiation(120, 22), 2)
    8.96
    """
    check_range("emissivity", emissivity, "1", 0, 1, "its definition")
    hot, cold = surface_c + KELVIN, around_c + KELVIN
    return emissivity * STEFAN_BOLTZMANN * (hot**2 + cold**2) * (hot + cold)


def bed_coefficient(contact: float, plate_m: float, plate_k: float, water_side: float) -> float:
    """From sugar through a water-cooled plate [W/m² K]: 1/(1/h_c + t/k + 1/h_w).

    `contact` h_c [W/m² K, 50–5000] sugar to oiled steel: 200–1000, calibrate with one timed pour;
    `water_side` 500–3000 (engineering range, from memory).

    >>> round(bed_coefficient(500, 0.010, 50.0, 1000), 1)
    312.5
    """
    check_range("contact", contact, "W/m²K", 50, 5000, "sugar on an oiled plate")
    check_range("water side", water_side, "W/m²K", 50, 20_000, "a water jacket")
    check_range("plate thickness", plate_m, "m", 0, 0.2, "a cooling plate")
    return 1 / (1 / contact + plate_m / plate_k + 1 / water_side)


def bank_rise(heat_j: float, iron_kg: float, heat_capacity: float = 470.0) -> float:
    """How much warmer an uncooled table gets [K] from `heat_j` [J] into `iron_kg` [kg].

    ΔT = Q/(m c), `heat_capacity` [J/kg K] of carbon steel 470.

    >>> [round(bank_rise(1.23e6, kg)) for kg in (150, 300, 450)]
    [17, 9, 6]
    """
    check_range("iron", iron_kg, "kg", 1, 1e5, "a table")
    check_range("heat", heat_j, "J", 0, 1e10, "a pour")
    return heat_j / (iron_kg * heat_capacity)


def bank_ready_minutes(
    now_c: float, ready_c: float, air_c: float, time_constant_min: float
) -> float:
    """Minutes until a warm table is back at `ready_c` [°C] in air of `air_c` [°C].

    t = τ ln((T − T_air)/(T_ready − T_air)): one lump losing heat to the room; `time_constant_min`
    τ [min, 1–2000] is this table's own, from two readings of it.

    >>> round(bank_ready_minutes(55, 35, 23, 40), 1)
    39.2
    """
    check_range("time constant", time_constant_min, "min", 1, 2000, "a table")
    check_range("ready temperature", ready_c, "°C", air_c + 0.1, now_c, "a table cooling in air")
    return time_constant_min * math.log((now_c - air_c) / (ready_c - air_c))
