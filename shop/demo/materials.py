"""What lies in the invented shop's store room: suppliers, marks and papers are invented too."""

from typing import Any

from shop.plan.materials import Material, OpenLot

KG, G, ALL = 1_000_000, 1_000, 1_000_000
# What each is, as a label says it (docs/contracts.md), below how much the shop wants to be told,
# and which colours it makes.
MATERIALS: dict[str, tuple[str, str, dict[str, Any]]] = {
    "sugar": ("Sugar", "sugar", {"label": "sugar", "low": 20 * KG}),
    "glucose-syrup": (
        "Glucose syrup",
        "syrup",
        {"label": "glucose syrup", "from": "maize", "low": 6 * KG},
    ),
    "citric-acid": (
        "Citric acid",
        "acid",
        {"label": "citric acid", "function": "acid", "number": "E 330", "low": 300 * G},
    ),
    "quince": ("Quince and lemon balm", "flavour", {"label": "flavouring", "low": 100 * G}),
    "curcumin": (
        "Curcumin",
        "colour",
        {
            **{"label": "curcumin", "function": "colour", "number": "E 100"},
            **{"certified": "turmeric", "makes": {"yellow": ALL, "jacket": ALL}, "low": 10 * G},
        },
    ),
    "caramel": (
        "Plain caramel",
        "colour",
        {
            **{"label": "plain caramel", "function": "colour", "number": "E 150a"},
            **{"certified": "caramel color", "makes": {"brown": ALL}, "low": 10 * G},
        },
    ),
    "slab-oil": ("Slab oil", "slab", {"label": "sunflower oil"}),
    "butter": ("Butter", "foam", {"label": "butter", "allergens": ["milk"]}),
    "bags": ("Bags, 100 g", "pack", {"low": 200}),
}
# Id of the lot: material, mark, supplier, received, best before, how much, its own papers.
LOTS: dict[str, tuple[str, str, str, str, str, int, dict[str, Any]]] = {
    "s118": ("sugar", "S118", "The sugar mill", "2026-11-02", "2028-11-01", 25 * KG, {}),
    "s119": ("sugar", "S119", "The sugar mill", "2026-11-16", "2028-11-15", 25 * KG, {}),
    "g41": ("glucose-syrup", "G41", "The syrup works", "2026-10-12", "2027-10-11", 14 * KG, {}),
    "g42": (
        *("glucose-syrup", "G42", "The syrup works", "2026-11-16", "2027-11-15"),
        *(14 * KG, {"from": "wheat"}),
    ),
    "c7": ("citric-acid", "C7", "The acid works", "2026-06-01", "2028-05-31", 1 * KG, {}),
    "f23": ("quince", "F23", "The flavour house", "2026-09-14", "2027-03-13", 500 * G, {}),
    "d31": ("curcumin", "D31", "The colour house", "2026-03-09", "2026-12-05", 50 * G, {}),
    "d32": ("caramel", "D32", "The colour house", "2026-03-09", "2028-03-08", 50 * G, {}),
    "o5": ("slab-oil", "O5", "The oil press", "2026-08-03", "2027-08-02", 5 * KG, {}),
    "b3": ("butter", "B3", "The dairy", "2026-11-20", "2026-12-20", 250 * G, {}),
    "p12": ("bags", "P12", "The bag maker", "2026-07-06", "", 500, {}),
}


def for_sheet() -> list[Material]:
    """The store room as the demo's sheets name it."""
    return [
        Material(key, name, kind, {k: v for k, v in facts.items() if k != "low"}, _open(key))
        for key, (name, kind, facts) in MATERIALS.items()
    ]


def _open(material: str) -> tuple[OpenLot, ...]:
    here = [(key, mark, papers) for key, (of, mark, *_, papers) in LOTS.items() if of == material]
    return tuple(OpenLot(key, mark, papers) for key, mark, papers in here)
