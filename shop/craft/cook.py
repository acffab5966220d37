"""Cook: the charge for a wanted cooked mass, and the way back from what was weighed.

Dry solids stay in the kettle and water leaves.
"""

from dataclasses import dataclass

from shop.craft.errors import OutOfRange, check_range

BALANCE = "mass balance"


@dataclass(frozen=True, slots=True)
class Charge:
    """What goes into the kettle, and what boils away [kg]."""

    sucrose: float
    syrup: float
    water: float
    evaporated: float

    @property
    def total(self) -> float:
        """The whole charge [kg]."""
        return self.sucrose + self.syrup + self.water


def check_mass(name: str, mass_kg: float) -> None:
    """Raises OutOfRange unless `mass_kg` [kg] is a mass that a workshop can hold (1 mg – 10 t)."""
    check_range(name, mass_kg, "kg", 1e-6, 1e4, "what a workshop can weigh")


def charge(
    *,
    cooked_kg: float,
    moisture: float,
    syrup_per_sucrose: float,
    water_per_sucrose: float,
    syrup_solids: float,
) -> Charge:
    """Charge for `cooked_kg` [kg] of melt at `moisture` [kg/kg, wet basis, 0–0.2].

    Dry solids stay: m(1 − u) = sucrose (1 + r s), with r = syrup and s = its solids per sucrose
    [kg/kg]; evaporated = charge − m. Raises OutOfRange where the charge itself is already drier.

    >>> batch = charge(cooked_kg=11.34, moisture=0.025, syrup_per_sucrose=(0.4 / 0.6) / 0.803,
    ...                water_per_sucrose=0.30, syrup_solids=0.803)
    >>> [round(x, 3) for x in (batch.sucrose, batch.syrup, batch.water, batch.evaporated)]
    [6.634, 5.508, 1.99, 2.792]
    """
    check_mass("cooked mass", cooked_kg)
    check_range("moisture", moisture, "kg/kg", 0, 0.2, BALANCE)
    check_range("syrup solids", syrup_solids, "kg/kg", 0.5, 1, BALANCE)
    check_range("syrup per sucrose", syrup_per_sucrose, "kg/kg", 0, 100, BALANCE)
    check_range("water per sucrose", water_per_sucrose, "kg/kg", 0, 100, BALANCE)
    sucrose = cooked_kg * (1 - moisture) / (1 + syrup_per_sucrose * syrup_solids)
    syrup, water = sucrose * syrup_per_sucrose, sucrose * water_per_sucrose
    total = sucrose + syrup + water
    if total < cooked_kg:
        wettest = 1 - cooked_kg * (1 - moisture) / total
        raise OutOfRange("moisture", moisture, "kg/kg", 0, wettest, "this charge's own water")
    return Charge(sucrose, syrup, water, total - cooked_kg)


def syrup_ratio(sucrose_share: float, syrup_solids: float) -> float:
    """Syrup to weigh per sucrose [kg/kg] for a `sucrose_share` of the dry solids [kg/kg, 0.05–1].

    r = ((1 − a)/a)/s, with a the share and s = `syrup_solids` [kg/kg, 0.5–1]; 43 °Bé 42 DE syrup
    holds 0.803 (industry, from memory: read its certificate).

    >>> round(syrup_ratio(0.60, 0.803), 4)
    0.8302
    """
    check_range("sucrose share", sucrose_share, "kg/kg", 0.05, 1, BALANCE)
    check_range("syrup solids", syrup_solids, "kg/kg", 0.5, 1, BALANCE)
    return (1 - sucrose_share) / sucrose_share / syrup_solids


def sucrose_share(syrup_per_sucrose: float, syrup_solids: float) -> float:
    """Sucrose in the dry solids [kg/kg]: the inverse of `syrup_ratio`.

    >>> round(sucrose_share(0.35, 0.803), 3)
    0.781
    """
    check_range("syrup per sucrose", syrup_per_sucrose, "kg/kg", 0, 100, BALANCE)
    check_range("syrup solids", syrup_solids, "kg/kg", 0.5, 1, BALANCE)
    return 1 / (1 + syrup_per_sucrose * syrup_solids)


def charge_for(
    *,
    cooked_kg: float,
    moisture: float,
    sucrose_share: float,
    syrup_solids: float,
    water_per_sucrose: float,
) -> Charge:
    """The charge of `cook.charge` from the sucrose's share of the dry solids [kg/kg].

    >>> batch = charge_for(cooked_kg=11.34, moisture=0.025, sucrose_share=0.60,
    ...                    syrup_solids=0.803, water_per_sucrose=0.30)
    >>> [round(x, 3) for x in (batch.sucrose, batch.syrup, batch.water, batch.evaporated)]
    [6.634, 5.508, 1.99, 2.792]
    """
    return charge(
        cooked_kg=cooked_kg,
        moisture=moisture,
        syrup_per_sucrose=syrup_ratio(sucrose_share, syrup_solids),
        water_per_sucrose=water_per_sucrose,
        syrup_solids=syrup_solids,
    )


def cooked_mass(dry_kg: float, moisture: float) -> float:
    """Cooked mass [kg] of `dry_kg` [kg] of solids at `moisture` [kg/kg, 0–0.5].

    m = m_dry/(1 − u): an over-cook is lighter by the water it lost.

    >>> round(cooked_mass(10.789, 0.022), 2), round(cooked_mass(10.789, 0.017), 2)
    (11.03, 10.98)
    """
    check_range("moisture", moisture, "kg/kg", 0, 0.5, BALANCE)
    check_mass("dry solids", dry_kg)
    return dry_kg / (1 - moisture)


def moisture_of(dry_kg: float, mass_kg: float) -> float:
    """Moisture [kg/kg, wet basis] of `mass_kg` [kg] that holds `dry_kg` [kg] of solids.

    u = 1 − m_dry/m: what a kettle on a scale says about its own cook.

    >>> round(moisture_of(10.789, 11.03), 3)
    0.022
    """
    check_mass("mass", mass_kg)
    check_range("dry solids", dry_kg, "kg", 0, mass_kg, BALANCE)
    return 1 - dry_kg / mass_kg
