"""A boil's label as a page: what it says or what holds it back, and each that was printed."""

from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from shop.labels.errors import LabelError
from shop.labels.label import Answer, Label
from shop.labels.letters import POINT_UM, figures_of, least_figures, least_x, x_of
from shop.labels.places import Place, Rule
from shop.labels.told import Problem
from shop.screens.office.label_layout import Layout, layout, paragraphs
from shop.screens.office.wording import moment
from shop.sentences import reason
from shop.store.label_settings import Size
from shop.store.labels import Printed

MM = 1000
CHANGE_SIZE = "Choose another size above, or make one under Our labels."


@dataclass(frozen=True, slots=True)
class Face:
    """The label drawn at scale: its words in place [hundredths of mm], and read aloud."""

    box: str
    words: list[tuple[str, str, str, str, bool]]
    aloud: str
    letters: str


@dataclass(frozen=True, slots=True)
class PrintLine:
    """A label as it was printed, in words; `changed` names what would be said otherwise now."""

    number: int
    when: str
    by: str
    place: str
    copies: int
    stale: bool
    changed: str


@dataclass(frozen=True, slots=True)
class LabelPage:
    """Everything the page shows; every text is ready to read. `held`: what to do next, and the
    problems it mends."""

    batch: str
    title: str
    lot: str
    place: Place
    face: Face | None
    held: list[tuple[str, list[str]]]
    notices: list[str]
    left_out: list[str]
    copies: int
    prints: list[PrintLine]
    stale_copies: int
    rules: list[Rule]


def label_page(
    batch: tuple[str, str, str],
    answer: Answer,
    place: Place,
    size: Size,
    copies: int,
    prints: list[PrintLine],
) -> LabelPage:
    """The page of a boil (id, title, lot)."""
    key, title, lot = batch
    problems, face = list(answer.problems), None
    if answer.label is not None:
        face, more = face_of(answer.label, place, size)
        problems += more
    return LabelPage(
        *(key, title, lot, place, face, by_next(problems)),
        notices=list(answer.notices),
        left_out=list(answer.left_out),
        copies=copies,
        prints=prints,
        stale_copies=sum(one.copies for one in prints if one.stale),
        rules=list(place.rules),
    )


def by_next(problems: list[Problem]) -> list[tuple[str, list[str]]]:
    """Each next step once, with what it mends, in the order they were found."""
    found: dict[str, list[str]] = {}
    for problem in problems:
        found.setdefault(problem.next, []).append(problem.words)
    return list(found.items())


def face_of(label: Label, place: Place, size: Size) -> tuple[Face | None, list[Problem]]:
    """The label on paper of this size, or that its words don't fit."""
    try:
        placed = layout(label, size)
    except LabelError as wrong:
        return None, [Problem(reason(wrong), CHANGE_SIZE)]
    words = [
        (w.text, _mm(w.x_um), _mm(w.y_um), _mm(w.size_pt * POINT_UM), w.strong)
        for w in placed.words
    ]
    box = f"0 0 {_mm(size.wide_um)} {_mm(size.high_um)}"
    return Face(box, words, aloud(label), _letters(placed, label, place, size)), []


def _mm(um: float) -> str:
    """Hundredths of a millimetre, as a drawing takes it whatever language numbers are in."""
    return f"{um / 10:.0f}"


def aloud(label: Label) -> str:
    """The whole label as one text."""
    told = ["".join(text for text, _ in runs) for runs in paragraphs(label)]
    return ". ".join([label["title"], *told, label["net"], label["date"], f"Lot {label['lot']}"])


def _letters(placed: Layout, label: Label, place: Place, size: Size) -> str:
    """How high the letters are, beside the least."""
    x, least = x_of(placed.text_pt) / MM, least_x(place, size.face_mm2) / MM
    net = figures_of(placed.net_pt) / MM
    lowest = least_figures(place, label["net_mg"], size.face_mm2) / MM
    return (
        f"Letters: x is {x:.1f} mm high, at least {least:.1f} mm there; "
        f"figures of the quantity {net:.1f} mm, at least {lowest:.1f} mm."
    )


def print_line(one: Printed, now: Label | None, zone: ZoneInfo) -> PrintLine:
    """A printed label beside what would be printed now for the same place."""
    return PrintLine(
        *(one.number, moment(one.at, zone), one.by or "nobody named", one.place, one.copies),
        stale=one.stale,
        changed=changed(one.label, now) if one.stale else "",
    )


SAYS = {
    "ingredients": "ingredients",
    "contains": "allergens",
    "warnings": "warnings",
    "name": "name of the food",
    "flavoured": "flavour",
    "date": "date",
    "net": "quantity",
    "lot": "lot",
}


def changed(was: dict[str, Any], now: dict[str, Any] | None) -> str:
    """Which parts of the label would be said otherwise now."""
    if now is None:
        return "there is no right label yet"
    parts = [words for key, words in SAYS.items() if was.get(key) != now.get(key)]
    if not parts:
        return "the words would be the same"
    return f"now otherwise: {', '.join(parts)}"
