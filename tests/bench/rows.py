"""A row of the bench, and the table of them."""

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Row:
    """One figure: its unit, the floor of the same run, and the budget it must keep.

    `over_floor` is the most the figure may be in multiples of its floor; `least` the least it must
    be where more is better.
    """

    name: str
    value: float
    unit: str
    floor: float | None = None
    budget: float | None = None
    over_floor: float | None = None
    least: float | None = None

    @property
    def ratio(self) -> float | None:
        """The figure in multiples of its floor."""
        return round(self.value / self.floor, 2) if self.floor else None

    @property
    def within(self) -> bool | None:
        """Whether every budget is kept; None where there is none."""
        if self.budget is None and self.over_floor is None and self.least is None:
            return None
        under = self.budget is None or self.value <= self.budget
        near = self.over_floor is None or (self.ratio or math.inf) <= self.over_floor
        return under and near and (self.least is None or self.value >= self.least)

    def as_json(self) -> dict[str, Any]:
        """`name value unit floor ratio budget within`."""
        plain = asdict(self)
        del plain["over_floor"], plain["least"]
        return {**plain, "ratio": self.ratio, "within": self.within}


def percentile(values: Sequence[float], share: float) -> float:
    """The value below which `share` (0–1) of the values lie, by straight lines between them."""
    ordered = sorted(values)
    place = (len(ordered) - 1) * share
    low = math.floor(place)
    high = min(low + 1, len(ordered) - 1)
    return round(ordered[low] + (ordered[high] - ordered[low]) * (place - low), 1)


def as_table(rows: Sequence[Row]) -> str:
    """The rows for a terminal."""
    lines = [f"{'':34}{'value':>12} {'unit':4}{'floor':>10}{'ratio':>7}{'budget':>9}  within"]
    lines += [as_line(row) for row in rows]
    return "\n".join(lines)


def as_line(row: Row) -> str:
    """A row of the table."""
    budget_words = _cell(row.budget) if row.least is None else f"≥{row.least:g}"
    cells = [_cell(row.floor), _cell(row.ratio), budget_words]
    within = {True: "yes", False: "NO", None: ""}[row.within]
    name, floor, ratio, budget = row.name, *cells
    return f"{name:34}{row.value:>12g} {row.unit:4}{floor:>10}{ratio:>7}{budget:>9}  {within}"


def _cell(value: float | None) -> str:
    return "" if value is None else f"{value:g}"
