"""The list of boils as it is printed."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from django.utils.translation import gettext, gettext_noop

from shop.picture.colours import nearest_swatches
from shop.plan.from_drawing import casing_sugar, shop_sugars
from shop.screens.office.wording import kilos, named_day, percent, phase_word
from shop.sentences import Sentence
from shop.store.boils import BoilLine, BoilPage
from shop.store.shapes import BatchInfo

LIT_OPEN = ("lit_open", gettext_noop("Lit with stop items open"))


@dataclass(frozen=True, slots=True)
class FoundLine:
    """A boil in the list; `colours` are swatches with their names."""

    key: str
    letter: str
    title: str
    lot: str
    day: str
    phase: str
    customer: str
    order: str
    colours: list[tuple[str, str]]
    bags: str
    packed: str
    share: str
    off: str


@dataclass(frozen=True, slots=True)
class BoilsPage:
    """The boils, and what leads on: `query` is what was asked, without the page.

    `after` names the last boil where older ones follow; `unread` are not read yet.
    """

    boils: list[FoundLine]
    after: str
    unread: int
    query: str
    customer: str
    beside: BatchInfo | None
    sought: bool


def boils_page(
    found: BoilPage, *, query: str, customer: str, beside: BatchInfo | None, sought: bool
) -> BoilsPage:
    """What was found, in words."""
    lines = [_line(boil) for boil in found.boils]
    return BoilsPage(lines, found.after, found.unread, query, customer, beside, sought)


def _line(boil: BoilLine) -> FoundLine:
    return FoundLine(
        key=boil.key,
        letter=boil.letter,
        title=boil.title,
        lot=boil.lot,
        day=named_day(boil.day) if boil.day else "–",
        phase=phase_word(boil.phase),
        customer=boil.customer,
        order=", ".join(part for part in (boil.order_number, boil.flavour) if part),
        colours=[(colour, colour_name(colour)) for colour in boil.colours],
        bags="–" if boil.bags is None else f"{boil.bags}",
        packed=kilos(boil.packed_mg),
        share=percent(boil.yield_ppm),
        off=gettext("%(n)s went off") % {"n": boil.went_off} if boil.went_off else "",
    )


@lru_cache(maxsize=4096)
def colour_name(swatch: str) -> str:
    """What the nearest of the program's sugars is called."""
    names = {sugar.swatch: sugar.name for sugar in (casing_sugar(), *shop_sugars())}
    return Sentence(names[nearest_swatches(swatch, list(names))[0]])


def went_off_words(sheet: dict[str, Any]) -> list[tuple[str, str]]:
    """Code and words of all that can go off by this sheet."""
    marks = [(mark["id"], Sentence(mark["words"])) for mark in sheet.get("marks", [])]
    checks = [(check["id"], Sentence(check["say"])) for check in sheet["checks"]]
    return [
        *marks,
        (LIT_OPEN[0], gettext(LIT_OPEN[1])),
        *sorted(checks, key=lambda pair: pair[1].read()),
    ]
