"""The invented shop's materials, and a boil made of them: W-0117, sold in Great Britain."""

from collections.abc import Iterable
from typing import Any

from shop.labels.label import Boil, Lines
from shop.record.made import Composition, Ingredient

LINES = Lines(
    business="Wobblethwaite Sugar Loft",
    address="The Loft, Treacle Yard, Wobblethwaite",
    storage="Keep dry and cool, close the bag.",
    months=12,
)
# Job, section 8: 80 bags of 100 g, lot L6329A of 25 November 2026; 11.17 kg before losses.
BOIL = Boil("L6329A", "2026-11-25", "Beehive", "quince and lemon balm", 100_000, 11_170_000)


def ingredient(kind: str, name: str, mg: int | None, **facts: Any) -> Ingredient:
    """One material that was weighed, from a lot of its own."""
    key = name.lower().replace(" ", "-")
    return Ingredient(key, kind, name, mg, mg is not None, (f"lot-{key}",), facts)


SUGAR = ingredient("sugar", "Granulated sugar", 8_420_000, label="sugar")
MAIZE = ingredient(
    "syrup", "Glucose syrup 43", 2_950_000, label="glucose syrup", **{"from": "maize"}
)
WHEAT = ingredient(
    "syrup", "Glucose syrup W", 2_950_000, label="glucose syrup", **{"from": "wheat"}
)
WATER = ingredient("water", "Water", 3_000_000, label="water")
CITRIC = ingredient(
    "acid", "Citric acid", 110_000, label="citric acid", number="E 330", function="acid"
)
FLAVOUR = ingredient("flavour", "Quince", 28_000, label="natural flavouring")
TARTRAZINE = ingredient(
    "colour",
    "Tartrazine",
    300,
    label="tartrazine",
    number="E 102",
    function="colour",
    strength_ppm=870_000,
)
CERTIFIED = ingredient(
    "colour", "Yellow", 300, label="tartrazine", number="E 102", certified="FD&C Yellow No. 5"
)
SUNSET = ingredient("colour", "Sunset yellow", 300, label="sunset yellow", number="E 110")
CARMINE = ingredient("colour", "Carmine", 200, label="carmine", number="E 120")
WHITE = ingredient("colour", "White", 20_000, label="titanium dioxide", number="E 171")
OIL = ingredient("slab", "Slab oil", None, label="sunflower oil")
BUTTER = ingredient("foam", "Butter", None, label="butter", allergens=["milk"])


def made(*ingredients: Ingredient, gaps: Iterable[str] = ()) -> Composition:
    """A boil of sugar, water and these."""
    return Composition((SUGAR, WATER, *ingredients), gaps=tuple(gaps))


W_0117 = made(MAIZE, CITRIC, FLAVOUR, OIL)
