"""Where goods are sold, and the rules of each place as data: EU, GB, NI and US kept apart."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from shop.craft.colour import Jurisdiction
from shop.labels.errors import NoSuchPlace
from shop.sentences import Sentence

PLACES: tuple[Jurisdiction, ...] = ("EU", "GB", "NI", "US")
# 'UK' stands on sheets from before the two were told apart.
OLDER = {"UK": "GB"}


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule in words, its source, and whether that was checked or is from memory."""

    id: str
    says: str
    source: str
    sure: str


@dataclass(frozen=True, slots=True)
class Place:
    """The rules of one place, `called` so in a sentence; the tables are those of its file."""

    id: Jurisdiction
    name: str
    called: str
    authority: str
    words: dict[str, str]
    names: dict[str, str]
    plural: dict[str, str]
    list: dict[str, Any]
    exempt: dict[str, Any]
    sulphites: dict[str, int]
    colours: dict[str, Any]
    letters: dict[str, Any]
    net: dict[str, bool]
    allergens: tuple[str, ...]
    rules: tuple[Rule, ...]


@cache
def place(name: str) -> Place:
    """The rules for goods sold at EU, GB, NI or US. Raises NoSuchPlace."""
    if (known := place_of(name)) is None:
        raise NoSuchPlace(name, PLACES)
    raw = tomllib.loads(files("shop.labels").joinpath(f"{known}.toml").read_text("utf-8"))
    rules = tuple(Rule(**{**row, **_said(row)}) for row in raw.pop("rule"))
    raw |= {key: Sentence(raw[key]) for key in ("name", "called", "authority")}
    words = tuple(word for row in raw.pop("allergen") for word in row["words"])
    return Place(**raw, allergens=words, rules=rules)


def _said(row: dict[str, str]) -> dict[str, str]:
    return {key: Sentence(row[key]) for key in ("says", "sure")}


def place_of(country: str) -> Jurisdiction | None:
    """The place a sheet's country means; None where no rules are kept for it.

    >>> place_of("UK"), place_of("US"), place_of("CH")
    ('GB', 'US', None)
    """
    name = OLDER.get(country, country)
    return next((known for known in PLACES if known == name), None)


@cache
def every_allergen() -> frozenset[str]:
    """The words of all places together: what a store room may say of a material."""
    return frozenset(word for name in PLACES for word in place(name).allergens)
