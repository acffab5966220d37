"""Which allergens a label must name, by place: those of the papers, and those nobody wrote down."""

import re
import tomllib
from functools import cache
from importlib.resources import files

from shop.labels.places import Place, every_allergen
from shop.labels.told import Finding, Problem
from shop.record.made import Ingredient
from shop.sentences import Sentence

SULPHITES, WHEAT = "sulphites", "wheat"
# Words that stand for several: the label has to say which.
WHICH = {
    "nuts": Sentence(
        "Say which nut: almonds, hazelnuts, walnuts, cashews, pecans, "
        "brazil nuts, pistachios or macadamia nuts."
    ),
    "gluten": Sentence("Say which cereal: wheat, rye, barley or oats."),
}
# An almond flavour need hold no almond; a fat named after its allergen does.
TELLING = ("sugar", "syrup", "acid", "slab", "foam")


def allergens_of(one: Ingredient, place: Place) -> list[str]:
    """What of one ingredient must be named there, in the place's own order; sulphites apart."""
    said = {tidy(word) for word in one.facts.get("allergens", [])} | from_wheat(one)
    exempt = set(place.exempt.get(one.kind, ()))
    return [word for word in place.allergens if word in said - exempt and word != SULPHITES]


def from_wheat(one: Ingredient) -> set[str]:
    """Wheat, where the papers say the material is made from it."""
    return {WHEAT} & set(re.findall(r"[a-z]+", str(one.facts.get("from", "")).lower()))


def tidy(word: str) -> str:
    """An allergen's word as it is compared."""
    return " ".join(str(word).lower().split())


def over_sulphites(ingredients: tuple[Ingredient, ...], finished_mg: int, place: Place) -> bool:
    """Whether sulphites count there: Σ mass · ppm over the finished mass, against the limit.

    Whole numbers; what the boil drives off is not taken away, so this is the most there can be.
    A paper that says sulphites and no figure counts as above.
    """
    if any(_untold(one) for one in ingredients):
        return True
    held: int = sum((one.mg or 0) * one.facts.get("sulphites_ppm", 0) for one in ingredients)
    limit = place.sulphites["mg_per_kg"] * finished_mg
    return held >= limit if place.sulphites["at"] else held > limit


def _untold(one: Ingredient) -> bool:
    said = {tidy(word) for word in one.facts.get("allergens", [])}
    return SULPHITES in said and not one.facts.get("sulphites_ppm")


def has_sulphites(one: Ingredient) -> bool:
    """Whether this one brings any."""
    return bool(one.facts.get("sulphites_ppm")) or _untold(one)


def check_allergens(one: Ingredient) -> Finding:
    """Words no place knows, words for several, and allergens a name gives away."""
    said = {tidy(word) for word in one.facts.get("allergens", [])}
    found = [_strange(one, word) for word in sorted(said - every_allergen())]
    if one.kind in TELLING:
        missing = sorted(implied(f"{one.name} {one.facts.get('label', '')}") - said)
        found += [_missing(one, word) for word in missing]
    return Finding(problems=tuple(found))


def _strange(one: Ingredient, word: str) -> Problem:
    if word in WHICH:
        return Problem(f"{one.name} says '{word}'.", WHICH[word])
    return Problem(
        Sentence(
            "{name} names '{word}' as an allergen, which no rule here knows.",
            name=one.name,
            word=word,
        ),
        Sentence(
            "Store room, {name}: choose one of {some}.",
            name=one.name,
            some=", ".join(sorted(every_allergen())),
        ),
    )


def _missing(one: Ingredient, word: str) -> Problem:
    return Problem(
        Sentence(
            "{name} went in, and its facts do not name {word}: the label would lack it.",
            name=one.name,
            word=word,
        ),
        Sentence(
            "Store room, {name}: write {word} among its allergens, or name it "
            "for what it is if it has none.",
            name=one.name,
            word=word,
        ),
    )


@cache
def _names() -> tuple[tuple[str, ...], dict[str, str]]:
    raw = tomllib.loads(files("shop.labels").joinpath("names.toml").read_text("utf-8"))
    return tuple(raw["none"]), dict(raw["means"])


def implied(words: str) -> set[str]:
    """Allergens that a material's name gives away.

    >>> sorted(implied("Butter, salted")), implied("Cream of tartar"), implied("Cocoa butter")
    (['milk'], set(), set())
    """
    harmless, means = _names()
    text = words.lower()
    for phrase in harmless:
        text = text.replace(phrase, " ")
    found = set(re.findall(r"[a-z]+", text))
    return {allergen for word, allergen in means.items() if word in found}
