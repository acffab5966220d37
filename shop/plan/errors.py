"""Errors of this room.

PlanError
├── NoSuchQuantity  a graph names a quantity that does not stand before it
├── NumberWrong     one of the shop's numbers is missing or outside its range
├── OrderWrong      the order can't be planned as it stands
└── SheetWrong      a sheet refers to something that is not on it
"""


class PlanError(Exception):
    """Root of this room's errors."""


class NumberWrong(PlanError):
    """A number of the shop is missing or outside its range."""

    def __init__(self, name: str, value: int | None, low: int, high: int, unit: str) -> None:
        seen = "missing" if value is None else f"{value} {unit}"
        super().__init__(f"{name} is {seen}; it must be from {low} to {high} {unit}.")
        self.name, self.value, self.low, self.high = name, value, low, high


class OrderWrong(PlanError):
    """A value of the order is outside what can be planned."""

    def __init__(self, name: str, value: object, wanted: str) -> None:
        super().__init__(f"{name} is {value}; {wanted}.")
        self.name, self.value = name, value


class SheetWrong(PlanError):
    """The sheet refers to a step, record, figure or person that is not on it."""

    def __init__(self, where: str, missing: str) -> None:
        super().__init__(f"{where} refers to {missing}, which is not on the sheet.")
        self.where, self.missing = where, missing


class NoSuchQuantity(PlanError):
    """A reckoning graph refers to a name that does not stand before it."""

    def __init__(self, name: str, missing: str) -> None:
        super().__init__(f"{name} refers to {missing}, which does not stand before it")
        self.name = name
        self.missing = missing
