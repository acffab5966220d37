"""A finished boil as what may be learned from: its readings, presses and counts, with doubts."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shop.lessons.catalogue import data
from shop.lessons.errors import LeftOut
from shop.sentences import Sentence

STEP_SD = 12**-0.5  # Of a reading that is anywhere within its step.


@dataclass(frozen=True, slots=True)
class Measured:
    """A value in its fixed unit and its standard deviation."""

    value: float
    sd: float

    @property
    def share(self) -> float:
        """Its standard deviation, of itself."""
        return self.sd / abs(self.value)


class Boil:
    """The sheet and the state of a boil; what is not there raises LeftOut."""

    def __init__(self, sheet: Mapping[str, Any], state: Mapping[str, Any]) -> None:
        self.sheet, self.state = sheet, state
        self.unsettled = {c["what"].partition("#")[0] for c in state["conflicts"]}

    def read(self, what: str) -> Measured:
        """The reading that stands; struck ones do not, and one corrected twice is not settled."""
        record = self.sheet["records"].get(what)
        if record is None:
            raise LeftOut(Sentence("The sheet has no '{what}' to write down.", what=what))
        if what in self.unsettled:
            raise LeftOut(
                Sentence(
                    "{label}: two people corrected it; settle that first.", label=record["label"]
                )
            )
        entry = self._newest(what)
        if entry is None:
            raise LeftOut(
                Sentence(
                    "{label}: not on the record{lost}.", label=record["label"], lost=self._unfiled()
                )
            )
        return Measured(entry["value"], reading_sd(record, entry))

    def _newest(self, what: str) -> dict[str, Any] | None:
        values: dict[str, dict[str, Any]] = self.state["values"]
        found = [v for key, v in values.items() if key.partition("#")[0] == what]
        return max(found, key=lambda v: v["at"], default=None)

    def read_at(self, what: str) -> Measured:
        """When the reading that stands was taken [ms]."""
        self.read(what)
        entry = self._newest(what)
        return Measured(entry["at"] if entry else 0, data()["press"]["pressed"])

    def pressed(self, step: str) -> Measured:
        """When a step was done [ms]."""
        if step not in self.sheet["steps"]:
            raise LeftOut(Sentence("The sheet has no step '{step}'.", step=step))
        entry = self.state["steps"].get(step)
        if step in self.unsettled or entry is None or entry["state"] != "done":
            raise LeftOut(
                Sentence("'{call}' was not finished.", call=self.sheet["steps"][step]["call"])
            )
        return Measured(entry["at"], data()["press"].get(entry["known"], 60_000))

    def took(self, start: str, end: str) -> Measured:
        """From one step done to another [ms]; never nought or less."""
        return between(self.pressed(start), self.pressed(end))

    def counted(self, what: str) -> int:
        """How many were counted, at least one."""
        number = int(self.state["tallies"].get(what, 0))
        if number < 1:
            raise LeftOut(Sentence("No {what} counted.", what=what))
        return number

    def figure(self, name: str) -> int:
        """A figure of the sheet's reckoning as the boil left it."""
        value = self.state["figures"].get(name)
        if value is None:
            raise LeftOut(
                Sentence("The sheet could not reckon '{name}'.", name=name.replace("_", " "))
            )
        return int(value)

    def number(self, key: str) -> int:
        """A number of the shop as this sheet was planned with it."""
        for number in self.sheet["numbers"]:
            if number["id"] == key:
                return int(number["value"])
        raise LeftOut(Sentence("The sheet was planned without '{key}'.", key=key))

    def _unfiled(self) -> str:
        lost = len(self.state["unfiled"])
        return Sentence(" ({lost} couldn't be filed)", lost=lost) if lost else ""


def between(start: Measured, end: Measured) -> Measured:
    """From one moment to another [ms]; never nought or less."""
    if end.value <= start.value:
        raise LeftOut(Sentence("Pressed in the wrong order: no time between the two."))
    return Measured(end.value - start.value, (start.sd**2 + end.sd**2) ** 0.5)


def reading_sd(record: Mapping[str, Any], entry: Mapping[str, Any]) -> float:
    """Standard deviation [fixed unit]: the step of scale or display, and the way it was taken."""
    up, down = record["units"][entry["unit"]]["factor"]
    step = max(up / down / entry["d"], record["scale_step"])
    how = data()["how"].get(f"{record['kind']} {entry['how']}", 0)
    return float(((step * STEP_SD) ** 2 + how**2) ** 0.5)
