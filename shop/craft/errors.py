"""Errors of this room.

CraftError
├── OutOfRange         a value outside the range in which a formula holds
├── ThermometerSuspect a test reading too far off to trust (`thermometer`)
├── NeverReached       a body that does not come to the wanted temperature (`cool`)
├── NotAllowed         a colour that may not be used there (`colour`)
├── QuantityWrong      a text that is not a quantity of the wanted kind (`quantities`)
└── AskedWrong         options that do not make a question (`calculation`)
"""

from shop.sentences import Sentence


class CraftError(Exception):
    """Root of this room's errors."""


class OutOfRange(CraftError):
    """A value outside the range in which a formula holds; nothing is clamped."""

    def __init__(self, name: str, value: float, unit: str, low: float, high: float, source: str):
        super().__init__(
            Sentence(
                "{name} is {value:g} {unit}; {source} holds from {low:g} to {high:g} {unit}.",
                name=name,
                value=value,
                unit=unit,
                source=source,
                low=low,
                high=high,
            )
        )
        self.name, self.value, self.unit = name, value, unit
        self.low, self.high, self.source = low, high, source


def check_range(name: str, value: float, unit: str, low: float, high: float, source: str) -> None:
    """Raises OutOfRange unless low ≤ value ≤ high."""
    if not low <= value <= high:
        raise OutOfRange(name, value, unit, low, high, source)
