"""The bench calculator: named calculations with units, bands, sources and notes.

`manage.py reckon` and the office's page both ask here; each calculation is a thin edge over one
or two functions of this room.
"""

from collections.abc import Mapping

from shop.craft import reckon_fire, reckon_keep, reckon_kettle, reckon_log
from shop.craft.calculation import (
    CALCULATIONS,
    Answer,
    AskedWrong,
    Calculation,
    Option,
    Result,
    reckon,
    values_of,
)
from shop.craft.conduction import cool
from shop.craft.mixture import mix_boiling_point
from shop.craft.reckon_kettle import molar_mass_of, pressure_of, sheet_of

__all__ = [
    "CALCULATIONS",
    "Answer",
    "AskedWrong",
    "Calculation",
    "Option",
    "Result",
    "reckon",
    "reckon_fire",
    "reckon_keep",
    "reckon_kettle",
    "reckon_log",
]


def boiling_curve(given: Mapping[str, str]) -> tuple[list[float], list[float], float, float]:
    """Solids [%] and boiling points [°C] to draw, then the one asked for, as `boil` takes it.

    >>> solids, boils, at, mark = boiling_curve({"solids": "97%"})
    >>> len(solids) == len(boils), at, round(mark, 1)
    (True, 97.0, 149.4)
    """
    asked = values_of("boil", given)
    pressure, molar = pressure_of(asked)[0], molar_mass_of(asked)[0]
    solids = [80 + 0.25 * i for i in range(77)]
    boils = [mix_boiling_point(w / 100, pressure, molar) for w in solids]
    at = asked["solids"] * 100
    return solids, boils, at, mix_boiling_point(asked["solids"], pressure, molar)


def cooling_curves(given: Mapping[str, str]) -> tuple[list[float], dict[str, list[float]]]:
    """Minutes, and the courses of top, mean and bottom [°C], as `sheet-cooling` takes it.

    >>> minutes, courses = cooling_curves({"thickness": "12mm", "after": "300s"})
    >>> minutes[-1], sorted(courses)
    (5.0, ['bottom', 'mean', 'top'])
    """
    asked = values_of("sheet-cooling", given)
    course = cool([sheet_of(asked, 1.0)], [asked["after"]])
    drawn = {"top": course.skin, "mean": course.mean, "bottom": course.bottom}
    minutes = [float(s) / 60 for s in course.times_s[0]]
    return minutes, {name: [float(v) for v in rows[0]] for name, rows in drawn.items()}
