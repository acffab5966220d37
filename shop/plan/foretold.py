"""The temperature a plan foretells: up in the kettle, down on the table, with its band.

Of a frozen sheet and its figures alone, so that old records keep their prediction. The kettle is
the shop's burner against the heat that warming and boiling off need; the sheet on the table is
conduction, its minutes stretched so that its mean comes to the pull when the plan says it does.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from shop.craft.boil import boil_minutes, boil_off_course, heat_to_boil
from shop.craft.conduction import Body, cool
from shop.craft.cool import seconds_until
from shop.craft.errors import CraftError
from shop.craft.heat import boiled_sugar
from shop.craft.syrup import moisture_at
from shop.plan.evaluate import Figures
from shop.plan.numbers import defaults
from shop.plan.portion import PPM

KG, C = 1e6, 1000.0
ROOM_C, MELT = 22.0, 1430.0
# The number `table_plastic` stands for a sheet of 10 to 15 mm on iron; only its shape is used.
SHEET_M, CONTACT = 0.0125, 200.0
POINTS, STEPS = 24, 60


@dataclass(frozen=True, slots=True)
class Course:
    """A foretold temperature: (ms since it began, m°C) at its pace, the earliest and the latest.

    `says` is what it is reckoned from, in words; `spread` [ppm] is how far its minutes may be off.
    """

    name: str
    says: str
    spread: int
    points: tuple[tuple[int, int], ...]

    def stretched(self, ppm: int) -> tuple[tuple[int, int], ...]:
        """The same course with its time `ppm` longer (or shorter, below 0)."""
        return tuple((at * (PPM + ppm) // PPM, value) for at, value in self.points)


def kettle_course(sheet: Mapping[str, Any], figures: Figures) -> Course | None:
    """From lit to the wanted take-off, true temperatures; None where the sheet can't tell."""
    power = {n["id"]: n["value"] for n in sheet["numbers"]}.get("burner_power")
    names = ("dry", "charge", "take_off_mark", "trusted_error", "air_pressure")
    known = [figures.get(name) for name in names]
    if power is None or any(value is None for value in known):
        return None
    dry, charge, mark, error, pressure = (value or 0 for value in known)
    try:
        points = _kettle(dry / KG, charge / KG, (mark - error) / C, float(pressure), float(power))
    except CraftError:
        return None
    says = f"heat to warm and boil off {charge / KG:.1f} kg over {power / 1000:g} kW net"
    doubt = defaults()["burner_power"].doubt
    return Course("Kettle", says, doubt * PPM // power, points)


@lru_cache(maxsize=256)
def _kettle(
    dry: float, charge: float, to_c: float, pressure: float, power: float
) -> tuple[tuple[int, int], ...]:
    """(ms, m°C) along the boil: straight to the boil, then along the boiling curve."""
    wet = 1 - dry / charge
    warming = heat_to_boil(dry_kg=dry, water_kg=charge - dry, from_c=ROOM_C, pressure_pa=pressure)
    course = boil_off_course(
        dry_kg=dry,
        from_moisture=wet,
        to_moisture=moisture_at(to_c, pressure),
        pressure_pa=pressure,
    )
    points = [(0.0, ROOM_C)]
    points += [
        (boil_minutes(warming + float(heat), power), float(boils))
        for heat, boils in zip(*course, strict=True)
    ]
    return tuple((round(at * 60_000), round(value * C)) for at, value in points)


def table_course(sheet: Mapping[str, Any], figures: Figures) -> Course | None:
    """From poured to the pull, the sheet's mean; None where the sheet can't tell."""
    names = ("peak_true", "pull_at", "plastic_in", "table_read")
    known = [figures.get(name) for name in names]
    if any(value is None for value in known):
        return None
    peak, pull, plastic, table = (value or 0 for value in known)
    spread = {q["name"]: q["spread"] for q in sheet["graph"]}["plastic_in"]
    try:
        points = _table(peak / C, pull / C, plastic, table / C)
    except CraftError:
        return None
    says = f"conduction into a table of {table / C:.0f} °C, plastic in {plastic / 60_000:.0f} min"
    return Course("Sheet, mean", says, spread, points)


@lru_cache(maxsize=256)
def _table(peak: float, pull: float, plastic: int, table: float) -> tuple[tuple[int, int], ...]:
    body = Body(SHEET_M, boiled_sugar(MELT), peak, below=CONTACT, bed_c=table)
    takes = float(seconds_until([body], [pull], steps=STEPS)[0])
    course = cool([body], [takes], STEPS)
    at, mean = course.times_s[0] * (plastic / takes), course.mean[0]
    picked = np.unique(np.linspace(0, len(at) - 1, POINTS).astype(int))
    return tuple((round(float(at[i])), round(float(mean[i]) * C)) for i in picked)
