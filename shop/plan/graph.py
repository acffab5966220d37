"""Writing a reckoning graph: named quantities in fixed units, in order of evaluation."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from shop.craft.bands import Doubt, drawn, reach
from shop.plan.evaluate import evaluate
from shop.plan.numbers import Numbers, defaults
from shop.plan.portion import PPM

Quantity = dict[str, Any]
Inputs = dict[str, dict[str, int]]


@dataclass
class Graph:
    """A graph as it grows; each method adds one quantity and returns its name.

    A quantity that people act on without having measured it is `banded`: it is shown as a range.
    """

    numbers: Numbers
    quantities: list[Quantity] = field(default_factory=list)
    doubts: dict[str, Doubt] = field(default_factory=dict)
    banded: list[str] = field(default_factory=list)

    def add(self, name: str, unit: str, op: list[Any], says: str, *, band: bool = False) -> str:
        """Adds a quantity; the others are this one with its operation spelled out."""
        self.quantities.append({"name": name, "unit": unit, "op": op, "says": says, "spread": 0})
        if band:
            self.banded.append(name)
        return name

    def given(self, name: str, unit: str, value: float, says: str, doubt: float = 0) -> str:
        """A number the plan settles, sure to within ± `doubt`."""
        if doubt:
            self.doubts[name] = Doubt(round(value), doubt)
        return self.add(name, unit, ["given", round(value)], says)

    def number(self, key: str, says: str, name: str = "") -> str:
        """A number of the shop under its own name (or another), with its own doubt."""
        known = defaults()[key]
        return self.given(name or key, known.unit, self.numbers[key], says, known.doubt)

    def read(self, name: str, unit: str, what: str, fallback: str, says: str) -> str:
        """The newest reading of `what`, else another quantity (`""` = unknown)."""
        return self.add(name, unit, ["read", what, fallback], says)

    def sum(
        self, name: str, unit: str, terms: dict[str, int], says: str, *, band: bool = False
    ) -> str:
        """Σ k · quantity."""
        return self.add(name, unit, ["sum", *([n, k] for n, k in terms.items())], says, band=band)

    def times(
        self, name: str, unit: str, a: str, b: str, per: int, says: str, *, band: bool = False
    ) -> str:
        """a · b / per."""
        return self.add(name, unit, ["product", a, b, 1, per], says, band=band)

    def over(
        self, name: str, unit: str, a: str, b: str, by: int, says: str, *, band: bool = False
    ) -> str:
        """a · by / b."""
        return self.add(name, unit, ["quotient", a, b, by, 1], says, band=band)

    def ceil_over(self, name: str, a: str, b: str, says: str) -> str:
        """a / b, begun ones counted whole: ⌈a/b⌉, by rounding (2a + b − 1) / 2b."""
        one = self.given(f"{name}_one", "1", 1, "One")
        top = self.sum(f"{name}_top", "1", {a: 2, b: 1, one: -1}, "Begun ones")
        return self.add(name, "1", ["quotient", top, b, 1, 2], says)

    def floor_over(
        self, name: str, unit: str, a: str, b: str, says: str, *, band: bool = False
    ) -> str:
        """a / b, only whole ones counted: ⌊a/b⌋, by rounding (2a − b) / 2b."""
        top = self.sum(f"{name}_top", unit, {a: 2, b: -1}, "Whole ones")
        return self.add(name, unit, ["quotient", top, b, 1, 2], says, band=band)

    def table(
        self,
        name: str,
        unit: str,
        x: str,
        points: Sequence[int],
        value: Callable[[int], float],
        says: str,
        *,
        band: bool = False,
    ) -> str:
        """Straight lines through `value` at the given points."""
        ys = [round(value(point)) for point in points]
        return self.add(name, unit, ["table", x, list(points), ys], says, band=band)

    def settle_bands(self, day: Inputs) -> None:
        """Writes each banded quantity's half-width [ppm] from what the numbers' doubts make of it.

        `day`: the inputs it is sampled at. They should let no banded quantity be nought: a share
        of nothing has no width.
        """
        columns = drawn(self.doubts)
        found: dict[str, list[float]] = {name: [] for name in self.banded}
        for draw in range(len(next(iter(columns.values())))):
            figures = evaluate([self._as_drawn(q, columns, draw) for q in self.quantities], day)
            for name in self.banded:
                if (value := figures[name]) is not None:
                    found[name].append(value)
        middle = evaluate(self.quantities, day)
        for quantity in self.quantities:
            if (name := quantity["name"]) in found:
                low, high = reach(found[name])
                quantity["spread"] = round((high - low) / 2 / abs(middle[name] or 0) * PPM)

    def _as_drawn(self, quantity: Quantity, columns: dict[str, Any], draw: int) -> Quantity:
        if quantity["name"] not in columns:
            return quantity
        return {**quantity, "op": ["given", round(float(columns[quantity["name"]][draw]))]}
