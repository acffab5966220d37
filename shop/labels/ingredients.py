"""The list of ingredients: in falling weight as they went in, each named as the place wants it."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from shop.labels.allergens import allergens_of, has_sulphites, over_sulphites
from shop.labels.colours import PPM, Dye, dyes, us_name
from shop.labels.places import Place
from shop.record.made import Ingredient

# A piece of text, and whether it stands out (1) or not (0).
Run = list[str | int]
FUNCTION = {"acid": "acid", "colour": "colour"}
# Left out where the maker names no function of theirs in the finished sweet: processing aids.
AIDS = ("slab", "foam")
NATURAL, FLAVOURS = "natural", ("natural flavor", "artificial flavor")


@dataclass(frozen=True, slots=True)
class Named:
    """An ingredient as the list names it: its class, its name, what must stand out in it."""

    of: Ingredient
    function: str
    name: str
    allergens: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Listed:
    """The list, what must be declared, and what was left out and why."""

    runs: list[Run]
    allergens: tuple[str, ...]
    left_out: tuple[str, ...]


def list_of(ingredients: Iterable[Ingredient], finished_mg: int, place: Place) -> Listed:
    """The whole list there; the order in which ingredients come makes no difference."""
    every = in_falling_weight(ingredients)
    water_mg = water_left(every, finished_mg)
    kept = [one for one in every if not _left_out(one, water_mg, finished_mg, place)]
    ordered = sorted(kept, key=lambda one: (-_weight(one, water_mg), one.material))
    sulphites = over_sulphites(every, finished_mg, place)
    coloured = {d.of.material: d for d in dyes(ordered, place)}
    named = [_named(one, coloured.get(one.material), sulphites, place) for one in ordered]
    out = [why for one in every if (why := _left_out(one, water_mg, finished_mg, place))]
    found = {word for one in named for word in one.allergens}
    declared = [w for w in place.allergens if w in found]
    return Listed(_runs(named, place), tuple(declared), tuple(out))


def in_falling_weight(ingredients: Iterable[Ingredient]) -> tuple[Ingredient, ...]:
    """Heaviest first, alike ones by their id: one order, however they came."""
    return tuple(sorted(ingredients, key=lambda one: (-_mass(one), one.material)))


def _mass(one: Ingredient) -> int:
    """A mass nobody knows stands last: what is left of fat or oil is little."""
    return -1 if one.mg is None else one.mg


def _weight(one: Ingredient, water_mg: int) -> int:
    return water_mg if one.kind == "water" else _mass(one)


def water_left(ingredients: Iterable[Ingredient], finished_mg: int) -> int:
    """Added water that counts [mg]: the finished mass less all other ingredients, never below 0.

    Regulation (EU) 1169/2011, Annex VII, part A, 1 (from memory).
    """
    others = sum(one.mg or 0 for one in ingredients if one.kind != "water")
    return max(finished_mg - others, 0)


def _left_out(one: Ingredient, water_mg: int, finished_mg: int, place: Place) -> str:
    """Why it is not in the list; "" where it is."""
    if one.kind == "water" and water_mg * PPM <= place.list["water_above_ppm"] * finished_mg:
        return f"{one.name}: boiled off; what is left need not be listed."
    if one.kind not in AIDS or one.facts.get("function"):
        return ""
    if allergens_of(one, place) or has_sulphites(one):
        return ""
    return f"{one.name}: helps in the making and has no use in the sweet; no allergen."


def _named(one: Ingredient, dye: Dye | None, sulphites: bool, place: Place) -> Named:
    allergens = allergens_of(one, place)
    if sulphites and has_sulphites(one):
        allergens = [*allergens, place.words["sulphites"]]
    if place.list["functions"]:
        name = str(one.facts.get("label") or one.facts.get("number") or one.name)
        function = str(one.facts.get("function") or FUNCTION.get(one.kind, ""))
        if one.kind == "flavour" and function.lower() in name.lower():
            function = ""
        return Named(one, function, _local(one, name, place), tuple(allergens))
    return Named(one, "", us_ingredient(one, dye, place), tuple(allergens))


def _local(one: Ingredient, name: str, place: Place) -> str:
    """The place's own word for syrup and water, else what the papers say."""
    made_from = str(one.facts.get("from", ""))
    return place.names.get(f"{one.kind}.{made_from}") or place.names.get(one.kind) or name


def us_ingredient(one: Ingredient, dye: Dye | None, place: Place) -> str:
    """Common names only: colours and flavors by their own rules (21 CFR 101.22)."""
    name = str(one.facts.get("label") or one.name)
    if dye is not None:
        return us_name(dye, place)
    if one.kind == "flavour":
        return FLAVOURS[not is_natural(one)]
    return _local(one, name, place)


def is_natural(one: Ingredient) -> bool:
    """Whether the papers' own name for a flavouring calls it natural."""
    return NATURAL in str(one.facts.get("label", "")).lower().split()


def _runs(named: list[Named], place: Place) -> list[Run]:
    """`Sugar, glucose syrup, acid (citric acid), colours (…)`, each thing once."""
    pieces: list[list[Run]] = []
    seen: set[tuple[str, str, tuple[str, ...]]] = set()
    for function, group in groupby(named, key=lambda one: one.function):
        same = [n for n in group if not _seen(n, seen)]
        if function and same:
            inner = _between([_one(n, place) for n in same])
            word = place.plural.get(function, function) if len(same) > 1 else function
            pieces.append([[f"{word} (", 0], *inner, [")", 0]])
        else:
            pieces += [_one(n, place) for n in same]
    return _joined(_between(pieces))


def _seen(one: Named, seen: set[tuple[str, str, tuple[str, ...]]]) -> bool:
    key = (one.function, one.name, one.allergens)
    if key in seen:
        return True
    seen.add(key)
    return False


def _one(one: Named, place: Place) -> list[Run]:
    """The name with its allergens, standing out inside it where the name holds their word.

    Where the place wants no emphasis, they come after 'Contains' and only sulphites stand here.
    """
    if not place.list["emphasis"]:
        here = [w for w in one.allergens if w == place.words["sulphites"]]
        return [[f"{one.name} ({here[0]})" if here else one.name, 0]]
    runs: list[Run] = [[one.name, 0]]
    after = []
    for word in one.allergens:
        if any(not strong and word in str(text).lower() for text, strong in runs):
            runs = [piece for run in runs for piece in _split(run, word)]
        else:
            after.append(word)
    if not after:
        return runs
    return [*runs, [" (", 0], *_between([[[word, 1]] for word in after]), [")", 0]]


def _split(run: Run, word: str) -> list[Run]:
    text, strong = str(run[0]), run[1]
    at = text.lower().find(word)
    if strong or at < 0:
        return [run]
    end = at + len(word)
    found: list[Run] = [[text[:at], 0], [text[at:end], 1], [text[end:], 0]]
    return [piece for piece in found if piece[0]]


def _between(pieces: list[list[Run]]) -> list[Run]:
    """The pieces with a comma and a blank between them."""
    found: list[Run] = []
    for piece in pieces:
        found += [[", ", 0], *piece] if found else piece
    return found


def _joined(runs: list[Run]) -> list[Run]:
    """Neighbours alike made one, the first letter large."""
    found: list[Run] = []
    for text, strong in runs:
        if found and found[-1][1] == strong:
            found[-1][0] = f"{found[-1][0]}{text}"
        else:
            found.append([text, strong])
    if found:
        first = str(found[0][0])
        found[0][0] = first[:1].upper() + first[1:]
    return found
