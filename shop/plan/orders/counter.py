"""'Can we make it?' for an order: the seven questions of the counter, with or without a picture.

With a picture the verdict is the picture room's own; without, the questions that need none.
"""

from dataclasses import dataclass
from typing import Any

from shop.picture.case import BuildFacts, Case, Enquiry, Facts
from shop.picture.verdict import judged
from shop.plan.from_drawing import section_of
from shop.plan.numbers import Numbers
from shop.plan.orders.said import ACCEPTS, Said, packs_together
from shop.sentences import Sentence

Plain = dict[str, Any]
NO_PICTURE = {
    "lines": Sentence(
        "Draw it under Pictures, or bring it as a file: then its finest line is measured."
    ),
    "parts": Sentence(
        "Draw it under Pictures: then its parts are counted and built against the clock."
    ),
}


@dataclass(frozen=True, slots=True)
class MakeDay:
    """The day it would be made, the last that will do, days that are taken or shut, and the hours:
    minutes of the day."""

    day: str
    latest: str
    busy: frozenset[str]
    light_up_min: int
    shift_end_min: int


def enquiry_of(said: Said, when: MakeDay) -> Enquiry | None:
    """The order as the picture room asks for it; None while nobody said how many packs."""
    packs, fill = packs_together(said)
    if not packs:
        return None
    accepts = len(said["accepts"]) == len(ACCEPTS)
    return Enquiry(
        packs=packs,
        fill_mg=fill,
        text=said["text"],
        ring=said["reads"] == "ring",
        where=said["country"] or None,
        allergens=_allergens(said["contains"]),
        day=when.day,
        busy=when.busy,
        due=when.latest,
        light_up_min=when.light_up_min,
        shift_end_min=when.shift_end_min,
        accepts_variation=True if accepts else None,
    )


def _allergens(contains: str) -> tuple[str, ...] | None:
    """What the papers name; `nothing` is nothing to declare, no word means nobody looked."""
    if not contains.strip():
        return None
    if contains.strip().lower() in ("nothing", "none", "no"):
        return ()
    return tuple(word.strip() for word in contains.split(",") if word.strip())


def without_picture(enquiry: Enquiry, said: Said, numbers: Numbers, hands: int) -> Plain:
    """The verdict as far as it goes without a picture; lines and parts are still to ask.

    The build is left out, so no minutes are told; the density is that of pulled white.
    """
    rod = said["rod_um"] or 14_000
    section = section_of(numbers, log_mg=said["log_mg"], rod_um=rod)
    density = numbers["white_density"] / 1000
    facts = Facts(section, 0, (), {}, density, None)
    limit = numbers["build_limit"] / 60_000
    case = Case(facts, enquiry, BuildFacts(0, limit, True, ""), hands, numbers)
    return _unanswered(judged(case))


def _unanswered(found: Plain) -> Plain:
    """Lines and parts as questions that can't be answered yet."""
    questions = [
        {**q, "reply": "ask", "says": NO_PICTURE[q["id"]]} if q["id"] in NO_PICTURE else q
        for q in found["questions"]
    ]
    to_ask = [q["says"] for q in questions if q["reply"] == "ask"]
    offers = [{**offer, "minutes": None} for offer in found["counter_offers"]]
    figures = {**found["figures"], "minutes": None}
    yes = found["verdict"] == "yes"
    says = Sentence("Nothing speaks against it so far.") if yes else found["says"]
    return {
        **found,
        **{"questions": questions, "to_ask": to_ask, "says": says},
        **{"figures": figures, "counter_offers": offers},
    }
