"""What lies in the store room as a sheet names it: where each material goes in, and its lots."""

import tomllib
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Any

from shop.craft.colour import powder_mass
from shop.plan.numbers import Numbers
from shop.plan.portion import PPM, Portion

Row = dict[str, Any]
Facts = Mapping[str, Any]

# What the shop's own facts say beside those of a label: which colours a powder makes, and of how
# much of their dose.
MAKES = "makes"


@dataclass(frozen=True, slots=True)
class OpenLot:
    """A lot that may be used: its id, the supplier's mark, what its own papers say."""

    id: str
    words: str
    facts: Facts = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Material:
    """Something bought, with its open lots, oldest first; `facts` as in docs/contracts.md.

    A colour's facts also hold `makes`: id of a sort of sugar → share of its dose [ppm].
    """

    id: str
    name: str
    kind: str
    facts: Facts = field(default_factory=dict)
    lots: tuple[OpenLot, ...] = ()


WATER = Material("water", "Water", "water", {"label": "water"})


def sheet_materials(
    materials: Iterable[Material],
    *,
    flavour: str,
    portions: Iterable[Portion],
    numbers: Numbers,
    steps: Container[str],
) -> list[Row]:
    """A sheet's `materials`: what this boil may take; `steps` are those our way has kept."""
    uses = {kind: _kept(use, steps) for kind, use in _uses().items()}
    given = [WATER, *materials]
    wanted = [m for m in given if m.kind != "flavour" or m in _flavours(given, flavour)]
    plain = [_row(m, uses[m.kind]) for m in wanted if m.kind != "colour"]
    colours = (m for m in wanted if m.kind == "colour")
    dyed = [p for p in portions if p.dye_mg_per_kg]
    places = [(m, p) for m in colours for p in dyed if p.id in m.facts.get(MAKES, {})]
    return plain + [_dye(m, p, numbers, uses["colour"]) for m, p in places]


@cache
def _uses() -> dict[str, dict[str, str]]:
    text = files("shop.plan.way").joinpath("materials.toml").read_text("utf-8")
    return tomllib.loads(text)


def _kept(use: Mapping[str, str], steps: Container[str]) -> dict[str, str]:
    return {**use, "step": use["step"] if use.get("step") in steps else ""}


def _flavours(materials: Iterable[Material], flavour: str) -> list[Material]:
    """Those whose name is in the order's flavour, or the other way round; else all there are."""
    known = [m for m in materials if m.kind == "flavour"]
    said = flavour.lower()
    return [m for m in known if m.name.lower() in said or said in m.name.lower()] or known


def _row(material: Material, use: Mapping[str, str], ppm: int = PPM) -> Row:
    return {
        **{"id": material.id, "name": material.name, "kind": material.kind},
        **{key: use.get(key, "") for key in ("step", "record", "figure")},
        "ppm": ppm,
        "facts": {key: value for key, value in material.facts.items() if key != MAKES},
        "lots": [{"id": x.id, "words": x.words, "facts": dict(x.facts)} for x in material.lots],
    }


def _dye(material: Material, portion: Portion, n: Numbers, use: Mapping[str, str]) -> Row:
    """The powder's share of the portion's mass [ppm = mg a kilogram]."""
    filled = {key: words.format(id=portion.id) for key, words in use.items()}
    whole = powder_mass(1.0, portion.dye_mg_per_kg, n["dye_purity"] / PPM)
    return _row(material, filled, round(whole * material.facts[MAKES][portion.id] / PPM))
