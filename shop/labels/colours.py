"""Colours: whether each may go in where it is sold, how much of it there is, how it is named."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from shop.craft.colour import CERTIFIED, Limit, NotAllowed, limit_for
from shop.labels.places import Place
from shop.labels.told import Finding, Problem, at_store
from shop.record.made import Ingredient
from shop.sentences import Sentence

PPM = 1_000_000
# A food that colours is an ingredient like any other in the EU and the UK, and has no number.
FOOD = "colouring food"


@dataclass(frozen=True, slots=True)
class Dye:
    """A colour that went in: how the rules know it, how it is told to people, pure dye [mg]."""

    key: str
    name: str
    number: str
    pure_mg: int | None
    of: Ingredient


def number_of(one: Ingredient) -> str:
    """`E102` from `E 102`, `e102`; "" where the facts have none."""
    found = re.fullmatch(
        r"[Ee]\s*(\d{3,4})\s*([A-Za-z]?)", str(one.facts.get("number", "")).strip()
    )
    return f"E{found[1]}{found[2].lower()}" if found else ""


def certified_name(one: Ingredient) -> str:
    """`Yellow 5` from `FD&C Yellow No. 5`; "" for a US name that is no certified colour's."""
    said = " ".join(re.sub(r"FD&C|\bNo\.?", " ", str(one.facts.get("certified", ""))).split())
    return said if re.fullmatch(r"(Citrus )?[A-Z][a-z]+ \d+", said) else ""


def dyes(ingredients: Iterable[Ingredient], place: Place) -> list[Dye]:
    """The colours among the ingredients, as the place's rules know them."""
    return [_dye(one, place) for one in ingredients if one.kind == "colour" and not _food(one)]


def _food(one: Ingredient) -> bool:
    return one.facts.get("function") == FOOD


def _dye(one: Ingredient, place: Place) -> Dye:
    """Where no paper says its strength, all of it counts as dye."""
    number = number_of(one)
    key = (place.colours["certified"] and certified_name(one)) or number
    pure = None if one.mg is None else -(-one.mg * one.facts.get("strength_ppm", PPM) // PPM)
    name = str(one.facts.get("label") or one.name)
    return Dye(key, name, number, pure, one)


def check_colours(found: list[Dye], finished_mg: int, place: Place) -> Finding:
    """Colours that may not be used there, and more of one than is allowed."""
    limits: dict[str, Limit] = {}
    problems: list[Problem] = []
    for dye in found:
        try:
            if (limit := _limit(dye, place)) is not None:
                limits[dye.key] = limit
        except NotAllowed as refused:
            problems.append(_refused(dye, place, str(refused)))
    problems += _single(found, limits, finished_mg, place) + _together(
        found, limits, finished_mg, place
    )
    return Finding(problems=tuple(problems))


def _limit(dye: Dye, place: Place) -> Limit | None:
    """The limit; None where as much as is needed is allowed. Raises NotAllowed."""
    if not dye.key:
        raise NotAllowed(Sentence("Its facts have no E number, and the rules go by numbers."))
    if dye.key in place.colours["free"]:
        most = place.colours.get("most", {}).get(dye.key)
        section = place.colours.get("sections", {}).get(dye.key, "")
        return None if most is None else Limit(dye.key, most, False, f"21 CFR {section}", "")
    if place.colours["certified"] and dye.key == dye.number != "E171":
        raise NotAllowed(
            Sentence(
                "It has no certified US name, and {key} is not among the colours listed there.",
                key=dye.key,
            )
        )
    return limit_for(dye.key, place.id)


def _refused(dye: Dye, place: Place, why: str) -> Problem:
    if not dye.key:
        return Problem(f"{dye.name}: {why}", at_store(dye.of.name))
    return Problem(
        Sentence(
            "{name} may not go into sweets for {called}: {why}",
            name=dye.name,
            called=place.called,
            why=why,
        ),
        Sentence(
            "These bags can't be sold there. Sell them where it is allowed, or "
            "boil again without it."
        ),
    )


def _single(
    found: list[Dye], limits: dict[str, Limit], finished_mg: int, place: Place
) -> list[Problem]:
    over = []
    for key in dict.fromkeys(dye.key for dye in found):
        limit = limits.get(key)
        if limit and limit.most_mg_per_kg is not None and not limit.together:
            same = [dye for dye in found if dye.key == key]
            over += _over(same, int(limit.most_mg_per_kg), finished_mg, place, limit.source)
    return over


def _together(
    found: list[Dye], limits: dict[str, Limit], finished_mg: int, place: Place
) -> list[Problem]:
    """The colours of group III are added up."""
    group = [dye for dye in found if dye.key in limits and limits[dye.key].together]
    if not group:
        return []
    limit = limits[group[0].key]
    return _over(group, int(limit.most_mg_per_kg or 0), finished_mg, place, limit.source)


def _over(same: list[Dye], most: int, finished_mg: int, place: Place, source: str) -> list[Problem]:
    """Whole numbers: mg of dye · 10⁶ against mg/kg · mg of sweets."""
    held = sum(dye.pure_mg or 0 for dye in same) * PPM
    if held <= most * finished_mg:
        return []
    names = " and ".join(dict.fromkeys(dye.name for dye in same))
    return [
        Problem(
            Sentence(
                "{names}: {held} mg in a kilogram of sweets, at most {most} mg for "
                "{called} ({source}).",
                names=names,
                held=held // finished_mg,
                most=most,
                called=place.called,
                source=source,
            ),
            Sentence(
                "If the powder is not pure dye, write its strength in the Store "
                "room; else these bags can't be sold there."
            ),
        )
    ]


def warnings(found: list[Dye], place: Place) -> list[str]:
    """The line about children, where one of the six is in or a paper asks for it."""
    warned = place.colours["warned"]
    names = [d.name for d in found if d.number in warned or d.of.facts.get("warn")]
    told = list(dict.fromkeys(names))
    return [place.colours["warning"].format(names=and_(told))] if told and warned else []


def and_(names: list[str]) -> str:
    """`Tartrazine, sunset yellow and carmoisine`: as a sentence begins."""
    text = " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
    return text[:1].upper() + text[1:]


def us_name(dye: Dye, place: Place) -> str:
    """Certified colours and carmine by name; the others by their US name as a color where the
    store room has it, else as an artificial color (21 CFR 101.22(k), from memory)."""
    by_name: dict[str, str] = place.colours["by_name"]
    if dye.key in CERTIFIED:
        return dye.key
    own = str(dye.of.facts.get("certified", "")) or by_name.get(dye.key, "")
    if not own:
        return str(place.colours["artificial"])
    return own if dye.key in by_name or "color" in own else f"{own} color"
