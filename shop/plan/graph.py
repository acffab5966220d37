"""Writing a reckoning graph: named quantities in fixed units, in order of evaluation."""

from collections.abc import Callable, Sequence
from typing import Any

Quantity = dict[str, Any]


class Graph:
    """A graph as it grows; each method adds one quantity and returns its name."""

    def __init__(self) -> None:
        self.quantities: list[Quantity] = []

    def add(self, name: str, unit: str, op: list[Any], says: str, spread: int = 0) -> str:
        """Adds a quantity; `spread` [ppm] is the half-width people are shown."""
        self.quantities.append(
            {"name": name, "unit": unit, "op": op, "says": says, "spread": spread}
        )
        return name

    def given(self, name: str, unit: str, value: float, says: str, spread: int = 0) -> str:
        """A number the plan settles."""
        return self.add(name, unit, ["given", round(value)], says, spread)

    def read(self, name: str, unit: str, what: str, fallback: str, says: str) -> str:
        """The newest reading of `what`, else another quantity (`""` = unknown)."""
        return self.add(name, unit, ["read", what, fallback], says)

    def sum(self, name: str, unit: str, terms: dict[str, int], says: str, spread: int = 0) -> str:
        """Σ k · quantity."""
        return self.add(name, unit, ["sum", *([n, k] for n, k in terms.items())], says, spread)

    def times(
        self, name: str, unit: str, a: str, b: str, per: int, says: str, spread: int = 0
    ) -> str:
        """a · b / per."""
        return self.add(name, unit, ["product", a, b, 1, per], says, spread)

    def over(
        self, name: str, unit: str, a: str, b: str, by: int, says: str, spread: int = 0
    ) -> str:
        """a · by / b."""
        return self.add(name, unit, ["quotient", a, b, by, 1], says, spread)

    def table(
        self,
        name: str,
        unit: str,
        x: str,
        points: Sequence[int],
        value: Callable[[int], float],
        says: str,
        spread: int = 0,
    ) -> str:
        """Straight lines through `value` at the given points."""
        ys = [round(value(point)) for point in points]
        return self.add(name, unit, ["table", x, list(points), ys], says, spread)
