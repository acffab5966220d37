"""Errors of this room.

PlanError
├── NoSuchQuantity  a graph names a quantity that does not stand before it
├── NumberWrong     one of the shop's numbers is missing or outside its range
├── OrderWrong      the order can't be planned as it stands
├── StageWrong      an order can't go from one stage to the other
├── StillMissing    something must be said before an order is at a stage
├── SheetMisshapen  a sheet from elsewhere has not its shape
└── SheetWrong      a sheet refers to something that is not on it
"""

from shop.sentences import Sentence, listed


class PlanError(Exception):
    """Root of this room's errors."""


class NumberWrong(PlanError):
    """A number of the shop is missing or outside its range."""

    def __init__(self, name: str, value: int | None, low: int, high: int, unit: str) -> None:
        seen = Sentence("missing") if value is None else f"{value} {unit}"
        super().__init__(
            Sentence(
                "{name} is {seen}; it must be from {low} to {high} {unit}.",
                name=name,
                seen=seen,
                low=low,
                high=high,
                unit=unit,
            )
        )
        self.name, self.value, self.low, self.high = name, value, low, high


class OrderWrong(PlanError):
    """A value of the order is outside what can be planned."""

    def __init__(self, name: str, value: object, wanted: str) -> None:
        super().__init__(
            Sentence("{name} is {value}; {wanted}.", name=name, value=value, wanted=wanted)
        )
        self.name, self.value = name, value


class SheetWrong(PlanError):
    """The sheet refers to a step, record, figure or person that is not on it."""

    def __init__(self, where: str, missing: str) -> None:
        super().__init__(
            Sentence(
                "{where} refers to {missing}, which is not on the sheet.",
                where=where,
                missing=missing,
            )
        )
        self.where, self.missing = where, missing


class SheetMisshapen(PlanError):
    """A sheet from elsewhere has not the shape that everything reads it by."""

    def __init__(self, where: str, wanted: str) -> None:
        super().__init__(Sentence("{where} must be {wanted}.", where=where, wanted=wanted))
        self.where, self.wanted = where, wanted


class NoSuchQuantity(PlanError):
    """A reckoning graph refers to a name that does not stand before it."""

    def __init__(self, name: str, missing: str) -> None:
        super().__init__(
            Sentence(
                "{name} refers to {missing}, which does not stand before it",
                name=name,
                missing=missing,
            )
        )
        self.name = name
        self.missing = missing


class StageWrong(PlanError):
    """An order can't go from the stage it is at to this one."""

    def __init__(self, now: str, may: list[str], wanted: str) -> None:
        super().__init__(
            Sentence(
                "An order that is {now} can be {may} next, not {wanted}.",
                now=now,
                may=" or ".join(may),
                wanted=wanted,
            )
        )
        self.now, self.may, self.wanted = now, may, wanted


class StillMissing(PlanError):
    """Something must be said before an order is at this stage."""

    def __init__(self, stage: str, missing: list[str]) -> None:
        super().__init__(
            Sentence(
                "Before it is {stage} somebody must say: {missing}.",
                stage=stage,
                missing=listed(missing, "; "),
            )
        )
        self.stage, self.missing = stage, missing
