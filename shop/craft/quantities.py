"""Quantities as people write them, with their unit: pint at the edge, floats inside.

A number without a unit is refused, and so is a unit of another kind. `150 °C` and `302 °F` are
temperatures; a difference is written `1 K`, `1 delta_degC` or `1.8 delta_degF`, never `1 °C`.
"""

import re
from functools import cache

import pint

from shop.craft.errors import CraftError
from shop.sentences import Sentence

NUMBER = re.compile(r"\s*([-+−]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?)\s*(.*?)\s*")
# Names joined by `*`, `/` or a space, each to a small power: no sums, no brackets, no numbers.
NAME = r"(?:[°%]|°?[^\W\d]\w*)(?:(?:\^|\*\*)-?\d{1,2})?"
UNITS = re.compile(rf"{NAME}(?:(?:\s*[*/·]\s*|\s+){NAME}){{0,5}}")
# Beyond these [in the wanted unit] nothing is measured, and reckoning runs out of numbers.
LEAST, MOST = 1e-15, 1e15
# As people type them; pint's own names stand for themselves.
WRITTEN = {"°C": "degC", "°F": "degF", "%": "percent", "C": "", "F": ""}


class QuantityWrong(CraftError):
    """A text that is not a quantity of the wanted kind."""


@cache
def registry() -> "pint.UnitRegistry[float]":
    """One registry for the process; loading pint's definitions takes a while."""
    return pint.UnitRegistry()


def read(name: str, text: str, unit: str) -> float:
    """The magnitude in `unit` of a text such as `97 %`, `83.4 kPa`, `302 degF`.

    Raises QuantityWrong naming the text, and what kind is wanted.

    >>> read("temperature", "302degF", "degC")
    150.0
    >>> [round(read("gain", text, "delta_degC"), 9) for text in ("1.8 delta_degF", "1 K")]
    [1.0, 1.0]
    """
    parted = NUMBER.fullmatch(text)
    if parted is None:
        raise QuantityWrong(
            Sentence("{name}: {text!r} is not a number with its unit.", name=name, text=text)
        )
    number, written = float(parted[1].replace("−", "-")), parted[2]
    if not written:
        raise QuantityWrong(
            Sentence(
                "{name}: {text} has no unit; write it in {units} or the like.",
                name=name,
                text=text,
                units=unit or "%",
            )
        )
    units = registry()
    try:
        if not UNITS.fullmatch(written):
            raise ValueError(written)
        found = units.Quantity(number, WRITTEN.get(written, written))
        wanted = units.Unit(unit)
    except (pint.errors.PintError, ValueError, TypeError, AttributeError) as error:
        raise QuantityWrong(
            Sentence("{name}: {written} is not a unit known here.", name=name, written=written)
        ) from error
    # pint turns a temperature into a difference of as many kelvin; that is the bug to keep out.
    if _is_difference(found.units) != _is_difference(wanted):
        raise QuantityWrong(
            Sentence(
                "{name}: {text} is not given in {units} or the like.",
                name=name,
                text=text,
                units=unit or "%",
            )
        )
    try:
        return measurable(name, float(found.to(wanted).magnitude), text)
    except pint.errors.DimensionalityError as error:
        raise QuantityWrong(
            Sentence(
                "{name}: {text} is not given in {units} or the like.",
                name=name,
                text=text,
                units=unit or "%",
            )
        ) from error


def measurable(name: str, value: float, text: str) -> float:
    """The value, if it is 0 or of a size that anything has. Raises QuantityWrong."""
    if value != 0 and not LEAST <= abs(value) <= MOST:
        raise QuantityWrong(
            Sentence(
                "{name}: {text} is beyond all that is measured; 1e-15 to 1e15 is.",
                name=name,
                text=text,
            )
        )
    return value


def _is_difference(unit: object) -> bool:
    """Whether a unit is a difference of temperatures, as a kelvin is here."""
    return "delta" in str(unit) or str(unit) == "kelvin"


def read_parts(name: str, text: str, first: str, second: str) -> list[tuple[float, float]]:
    """Parts such as `6.00kg@1500kg/m^3,5.34kg@1150kg/m^3` as pairs in the two units.

    >>> read_parts("mix", "6.0kg@0mg/kg,2.2kg@400mg/kg", "kg", "mg/kg")
    [(6.0, 0.0), (2.2, 400.0)]
    """
    found = []
    for part in text.split(","):
        left, at, right = part.partition("@")
        if not at:
            raise QuantityWrong(
                Sentence(
                    "{name}: {part!r} is not written as {first}@{second}.",
                    name=name,
                    part=part,
                    first=first,
                    second=second,
                )
            )
        found.append((read(name, left, first), read(name, right, second)))
    return found
