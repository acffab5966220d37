"""The label of a boil's bags: its exact text, or why there is none yet.

Nothing here takes a decision from outside: what went in, the place's rules and the shop's own lines
make the text, and nobody can have one printed that says otherwise.
"""

import calendar
import hashlib
from dataclasses import dataclass
from datetime import date
from typing import Any

from shop.labels.allergens import check_allergens
from shop.labels.colours import check_colours, dyes, warnings
from shop.labels.ingredients import in_falling_weight, is_natural, list_of
from shop.labels.net import net_words
from shop.labels.places import Place
from shop.labels.told import Finding, Problem, at_store, joined
from shop.plan.canonical import canonical
from shop.record.made import Composition, Ingredient, composition_hash
from shop.sentences import Sentence

Label = dict[str, Any]
FORMAT = 1
# What made.py says where a mass is only the plan's; it changes no word of the label.
AS_PLANNED = "not weighed; as planned."
EUROPE = ("EU", "NI")
MADE_BY = "Made by"


@dataclass(frozen=True, slots=True)
class Lines:
    """What the shop itself puts on every label; "" and 0: not on it.

    `importer`: name and address in the EU or NI, for goods that go there. `months`: how long they
    keep. `origin`: country they are made in, as the US wants it.
    """

    business: str
    address: str
    importer: str = ""
    origin: str = ""
    storage: str = ""
    months: int = 0
    age: str = ""
    trace: str = ""
    nutrition: str = ""


@dataclass(frozen=True, slots=True)
class Boil:
    """What the label needs of the boil: lot, make day, title, flavour, mass on the bag [mg], the
    finished mass of all of it [mg], None where nobody knows."""

    lot: str
    day: str
    title: str
    flavour: str
    net_mg: int
    finished_mg: int | None


@dataclass(frozen=True, slots=True)
class Answer:
    """The label, or None and the problems; `made_of` names what went in."""

    label: Label | None
    problems: tuple[Problem, ...]
    notices: tuple[str, ...]
    left_out: tuple[str, ...]
    made_of: str


def make_label(made: Composition, boil: Boil, lines: Lines, place: Place) -> Answer:
    """The label for this place, from what went in and nothing else."""
    every = in_falling_weight(made.all_ingredients())
    said = joined([check_made(made, every), check_lines(boil, lines, place)])
    if boil.finished_mg is None or not every:
        return Answer(None, said.problems, said.notices, (), composition_hash(made))
    colours = check_colours(dyes(every, place), boil.finished_mg, place)
    found = joined([said, *(check_allergens(one) for one in every), colours])
    listed = list_of(every, boil.finished_mg, place)
    label = None if found.problems else _label(every, boil, lines, place)
    return Answer(label, found.problems, found.notices, listed.left_out, composition_hash(made))


def check_made(made: Composition, every: tuple[Ingredient, ...]) -> Finding:
    """What nobody said of the boil, and materials without a name for the list."""
    harmless = [gap for gap in made.gaps if _changes_nothing(gap, made)]
    unsaid = [gap for gap in made.gaps if gap not in harmless]
    problems = [Problem(gap, _next(gap)) for gap in unsaid]
    problems += [_nameless(one) for one in every if not _is_named(one)]
    if not any(one.kind == "sugar" for one in every):
        problems.append(Problem(Sentence("No sugar went in, as far as the record says."), SAY_LOT))
    return Finding(tuple(problems), tuple(harmless))


def _changes_nothing(gap: str, made: Composition) -> bool:
    """Whether no word of the label hangs on it: a mass as planned, the lot of the bags."""
    return gap.endswith(AS_PLANNED) or any(gap.startswith(f"{p.name}: ") for p in made.packaging)


SAY_LOT = Sentence(
    "Say which lot was used: below, or on the phone at the step where it is weighed."
)


def _next(gap: str) -> str:
    if "how much" in gap:
        return Sentence("Write down its weight at the boil: on the phone, said afterwards.")
    if "no colour of the store room" in gap:
        return Sentence(
            "Store room: say which colour makes this sugar; it holds from the next sheet on."
        )
    return SAY_LOT


def _is_named(one: Ingredient) -> bool:
    return one.kind == "water" or bool(one.facts.get("label") or one.facts.get("number"))


def _nameless(one: Ingredient) -> Problem:
    return Problem(
        Sentence(
            "{name} has no name for the list of ingredients, and nothing on allergens.",
            name=one.name,
        ),
        at_store(one.name),
    )


def check_lines(boil: Boil, lines: Lines, place: Place) -> Finding:
    """What the shop has not said of itself, and what a person should look at there."""
    problems = [
        Problem(
            Sentence("The label has no {what}.", what=what),
            Sentence("The shop's lines, under Labels: write it down."),
        )
        for what, text in (
            (Sentence("name of the business"), lines.business),
            (Sentence("address"), lines.address),
        )
        if not text.strip()
    ]
    if not boil.lot:
        problems.append(
            Problem(
                Sentence("The boil has no lot."), Sentence("Plan it with one: a lot never drops.")
            )
        )
    if boil.finished_mg is None:
        problems.append(
            Problem(
                Sentence("Nobody knows what the boil weighed when it was done."),
                Sentence("Write down the peak."),
            )
        )
    notices = []
    if place.id in EUROPE and not lines.importer:
        notices.append(
            Sentence(
                "A label for {called} needs a name and address in the EU or NI.",
                called=place.called,
            )
        )
    if place.id == "US" and not lines.origin:
        notices.append(Sentence("Sweets brought into the US say which country they were made in."))
    return Finding(tuple(problems), tuple(notices))


def _label(every: tuple[Ingredient, ...], boil: Boil, lines: Lines, place: Place) -> Label:
    listed = list_of(every, boil.finished_mg or 0, place)
    contains = place.words["contains"]
    declared = ", ".join(word.capitalize() for word in listed.allergens)
    return {
        "format": FORMAT,
        "place": place.id,
        "title": boil.title,
        "name": food_name(boil.flavour, place),
        "flavoured": _flavoured(every, place),
        "list": place.words["ingredients"],
        "ingredients": listed.runs,
        "contains": f"{contains}: {declared}" if contains and declared else "",
        "trace": f"{place.words['trace']}: {lines.trace}" if lines.trace else "",
        "warnings": warnings(dyes(every, place), place),
        "age": lines.age,
        "net": net_words(boil.net_mg, place),
        "net_mg": boil.net_mg,
        "lot": lot_mark(boil.lot),
        "date": best_before(boil.day, lines.months, place),
        "storage": lines.storage,
        "nutrition": lines.nutrition,
        "business": _business(lines, place),
    }


def food_name(flavour: str, place: Place) -> str:
    """`Boiled sweets, quince flavour`, `Quince flavored hard candy`."""
    food = place.words["food"]
    if not flavour:
        return food
    named = place.words["named"]
    inner = food if named.startswith("{food}") else food.lower()
    text = named.format(food=inner, flavour=flavour)
    return text[:1].upper() + text[1:]


def _flavoured(every: tuple[Ingredient, ...], place: Place) -> str:
    """The US wants it said with the name where the taste is artificial (21 CFR 101.22(i))."""
    artificial = any(one.kind == "flavour" and not is_natural(one) for one in every)
    return place.words["artificial"] if artificial else ""


def lot_mark(lot: str) -> str:
    """The lot with its L in front."""
    return lot if lot.upper().startswith("L") else f"L{lot}"


def best_before(day: str, months: int, place: Place) -> str:
    """`Best before 25 Nov 2027`; "" where the shop gives no date, which the lot never follows.

    >>> from shop.labels.places import place
    >>> best_before("2026-08-31", 6, place("GB")), best_before("2026-11-25", 0, place("EU"))
    ('Best before 28 Feb 2027', '')
    """
    if not months:
        return ""
    made = date.fromisoformat(day)
    years, month = divmod(made.month - 1 + months, 12)
    year, month = made.year + years, month + 1
    last = min(made.day, calendar.monthrange(year, month)[1])
    return f"{place.words['best_before']} {last} {MONTHS[month - 1]} {year}"


MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def _business(lines: Lines, place: Place) -> list[str]:
    own = f"{MADE_BY} {lines.business}, {lines.address}"
    if place.id in EUROPE and lines.importer:
        return [own, f"For the EU and NI: {lines.importer}"]
    if place.id == "US" and lines.origin:
        return [own, f"Made in {lines.origin}"]
    return [own]


def label_text(label: Label) -> str:
    """The label's canonical text: the same label, the same bytes."""
    return canonical(label)


def label_hash(label: Label) -> str:
    """A short name of that text, to compare two labels by."""
    return hashlib.sha256(label_text(label).encode()).hexdigest()
