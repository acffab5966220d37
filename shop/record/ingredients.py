"""What a boil is made of, as a label and a trace read it; whole numbers only."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

Facts = dict[str, Any]
# Facts of several lots: these add up, of this the most counts, this is told of each.
ADDED, MOST, EACH = ("allergens", "warn"), ("sulphites_ppm",), ("from",)


@dataclass(frozen=True, slots=True)
class Ingredient:
    """A material that went in: `mg` (None: not known; pieces of packaging), `weighed` or as
    planned, lots ("" = not said), label facts of it and of those lots (docs/contracts.md)."""

    material: str
    kind: str
    name: str
    mg: int | None
    weighed: bool
    lots: tuple[str, ...]
    facts: Facts


@dataclass(frozen=True, slots=True)
class Melted:
    """Scrap of another boil that was melted into this one: `mg` of what that was made of."""

    batch: str
    lot: str
    mg: int
    ingredients: tuple[Ingredient, ...]


@dataclass(frozen=True, slots=True)
class Composition:
    """What a boil was made of; `gaps` are sentences for what nobody said.

    `ingredients` are its own; `melted` is the scrap of other boils with theirs; `packaging` is
    what it was packed in.
    """

    ingredients: tuple[Ingredient, ...]
    packaging: tuple[Ingredient, ...] = ()
    melted: tuple[Melted, ...] = ()
    gaps: tuple[str, ...] = ()

    def allergens(self) -> frozenset[str]:
        """Those of everything that went in, scrap of other boils among it."""
        return frozenset(
            a for one in self.all_ingredients() for a in one.facts.get("allergens", [])
        )

    def all_ingredients(self) -> tuple[Ingredient, ...]:
        """Its own and those of the scrap, each material once, masses added."""
        found: dict[str, Ingredient] = {}
        for one in (*self.ingredients, *(i for m in self.melted for i in m.ingredients)):
            known = found.get(one.material)
            found[one.material] = _both(known, one) if known else one
        return tuple(found.values())


def _both(one: Ingredient, other: Ingredient) -> Ingredient:
    known = one.mg is not None and other.mg is not None
    return replace(
        one,
        mg=(one.mg or 0) + (other.mg or 0) if known else None,
        weighed=one.weighed and other.weighed,
        lots=tuple(dict.fromkeys((*one.lots, *other.lots))),
        facts=together({}, [one.facts, other.facts]),
    )


def together(facts: Facts, papers: Iterable[Facts]) -> Facts:
    """A material's facts with those of its lots: the papers win, what is feared adds up."""
    lots = [{**facts, **paper} for paper in papers] or [facts]
    found: Facts = {key: value for lot in lots for key, value in lot.items()}
    for key in ADDED:
        every = {v for each in (facts, *lots) for v in each.get(key, [])}
        found |= {key: sorted(every)} if every else {}
    for key in MOST:
        found |= {key: max(lot.get(key, 0) for lot in lots)} if key in found else {}
    for key in EACH:
        told = dict.fromkeys(lot[key] for lot in lots if lot.get(key))
        found |= {key: " and ".join(told)} if told else {}
    return found
