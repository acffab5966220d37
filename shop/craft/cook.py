"""Cook: from a wanted cooked mass to the charge."""

from dataclasses import dataclass

from shop.craft.errors import check_range

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
    [kg/kg]; evaporated = charge − m.

    >>> batch = charge(cooked_kg=11.34, moisture=0.025, syrup_per_sucrose=(0.4 / 0.6) / 0.803,
    ...                water_per_sucrose=0.30, syrup_solids=0.803)
    >>> [round(x, 3) for x in (batch.sucrose, batch.syrup, batch.water, batch.evaporated)]
    [6.634, 5.508, 1.99, 2.792]
    """
    check_range("moisture", moisture, "kg/kg", 0, 0.2, BALANCE)
    check_range("syrup solids", syrup_solids, "kg/kg", 0.5, 1, BALANCE)
    sucrose = cooked_kg * (1 - moisture) / (1 + syrup_per_sucrose * syrup_solids)
    syrup, water = sucrose * syrup_per_sucrose, sucrose * water_per_sucrose
    return Charge(sucrose, syrup, water, sucrose + syrup + water - cooked_kg)
