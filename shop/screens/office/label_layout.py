"""Where every word of a label stands, as large as fits, never below the letters the law wants."""

from dataclasses import dataclass
from typing import Any

from shop.labels.errors import NoSuchLetters, TooLong
from shop.labels.letters import least_figures, least_x, size_for_figures, size_for_x, x_of
from shop.labels.places import place
from shop.screens.office.card_pdf import plain, width
from shop.store.label_settings import Size

Label = dict[str, Any]
Run = tuple[str, bool]
EDGE_UM, GAP_UM = 2_500, 700
# Larger is no easier to read on a bag; steps of a tenth of a point.
LARGEST_PT = 11.0
# From line to line and of the title, in sizes of the text.
LEADING, TITLE = 1.17, 1.25
POINT_UM = 25_400 / 72


@dataclass(frozen=True, slots=True)
class Word:
    """Text at a place [um from the label's upper left corner, base line], with its size [pt]."""

    text: str
    x_um: float
    y_um: float
    size_pt: float
    strong: bool


@dataclass(frozen=True, slots=True)
class Layout:
    """A label's words in place, and the size [pt] of its text and of its net quantity."""

    words: tuple[Word, ...]
    text_pt: float
    net_pt: float


def layout(label: Label, size: Size) -> Layout:
    """The label on this size, its letters as large as fit.

    Raises TooLong where they would be smaller than is allowed there, NoSuchLetters.
    """
    there = place(label["place"])
    least = size_for_x(least_x(there, size.face_mm2))
    # The front is taken as the bag's largest side.
    figures = least_figures(there, label["net_mg"], size.face_mm2)
    setter = Setter(label, size, size_for_figures(figures))
    steps = range(max(round(LARGEST_PT * 10), round(least * 10)), round(least * 10) - 1, -1)
    for tenths in steps:
        words, needed = setter.at(tenths / 10)
        if needed <= size.high_um:
            return Layout(tuple(words), tenths / 10, max(setter.net_pt, tenths / 10))
    raise TooLong(round(needed), size.high_um, round(x_of(least)))


def paragraphs(label: Label) -> list[list[Run]]:
    """The label from top to bottom, without its title, quantity, lot and date."""
    listed = [(f"{label['list']}: ", True)]
    listed += [(text, bool(strong)) for text, strong in label["ingredients"]]
    named = [[(label["name"], True)], [(label["flavoured"], False)], listed]
    named += [[(label["contains"], True)], [(line, False) for line in label["warnings"]]]
    rest = [label["trace"], label["age"], label["storage"], *label["nutrition"].splitlines()]
    plainly = [[(line, False)] for line in (*rest, *label["business"])]
    return [runs for runs in (*named, *plainly) if "".join(text for text, _ in runs)]


class Setter:
    """Sets one label; it measures with the fonts it will be printed in."""

    def __init__(self, label: Label, size: Size, net_pt: float) -> None:
        self.label, self.net_pt = label, net_pt
        self.wide = size.wide_um - 2 * EDGE_UM
        self.high = size.high_um
        self.known: dict[Run, float] = {}

    def width(self, text: str, size_pt: float, strong: bool) -> float:
        """How wide a text is [um]. Raises NoSuchLetters."""
        if (text, strong) not in self.known:
            self.known[text, strong] = self._measured(text, strong)
        return self.known[text, strong] * size_pt

    def _measured(self, text: str, strong: bool) -> float:
        """How wide a text is at one point [um]: every size is tried, and widths go with size."""
        if missing := "".join(c for c in text if plain(c) not in (c, "\u00a0")):
            raise NoSuchLetters(missing, text)
        return width(text, bold=strong) * POINT_UM

    def at(self, size_pt: float) -> tuple[list[Word], float]:
        """Every word at this size, and the height all of it needs [um]."""
        words: list[Word] = []
        y = float(EDGE_UM)
        title = size_pt * TITLE
        for runs, size in [
            ([(self.label["title"], True)], title),
            *((p, size_pt) for p in paragraphs(self.label)),
        ]:
            for line in self.lines(runs, size):
                y += size * LEADING * POINT_UM
                words += [Word(text, EDGE_UM + x, y, size, strong) for x, text, strong in line]
            y += GAP_UM
        foot, high = self.foot(size_pt, y)
        return words + foot, y + high + EDGE_UM

    def foot(self, size_pt: float, above: float) -> tuple[list[Word], float]:
        """Quantity on the left, lot and date on the right, at the very bottom; below each other
        where they don't stand side by side."""
        net, net_pt = self.label["net"], max(self.net_pt, size_pt)
        lines = [line for line in (self.label["date"], f"Lot {self.label['lot']}") if line]
        step, net_high = size_pt * LEADING * POINT_UM, net_pt * POINT_UM
        widest = max(self.width(line, size_pt, True) for line in lines)
        beside = self.width(net, net_pt, True) + widest + 2 * GAP_UM <= self.wide
        marks = step * len(lines)
        high = max(marks, net_high) if beside else marks + net_high + GAP_UM
        bottom = max(above + high, self.high - EDGE_UM)
        words = [Word(net, EDGE_UM, bottom, net_pt, True)]
        last = bottom if beside else bottom - net_high - GAP_UM
        for n, line in enumerate(reversed(lines)):
            left = self.wide - self.width(line, size_pt, True) if beside else 0
            words.append(Word(line, EDGE_UM + left, last - n * step, size_pt, True))
        if max(self.width(net, net_pt, True), widest) > self.wide:
            return words, float(10 * self.high)
        return words, high

    def lines(self, runs: list[Run], size_pt: float) -> list[list[tuple[float, str, bool]]]:
        """The runs broken into lines between words: (x [um], text, strong)."""
        found: list[list[tuple[float, str, bool]]] = [[]]
        x = 0.0
        for chunk in chunks(runs):
            wide = sum(self.width(text, size_pt, strong) for text, strong in chunk)
            if found[-1] and x + wide > self.wide:
                found.append([])
                x, chunk = 0.0, stripped(chunk)
            for text, strong in chunk:
                found[-1].append((x, text, strong))
                x += self.width(text, size_pt, strong)
        return found


def chunks(runs: list[Run]) -> list[list[Run]]:
    """What may not be broken: each word with the blank before it, across changes of type."""
    found: list[list[Run]] = []
    for text, strong in runs:
        for n, piece in enumerate(text.split(" ")):
            part = piece if n == 0 else f" {piece}"
            if n == 0 and found:
                found[-1] += [(part, strong)] if part else []
            elif part:
                found.append([(part, strong)])
    return found


def stripped(chunk: list[Run]) -> list[Run]:
    """Without the blank it began with: a line begins with a letter."""
    text, strong = chunk[0]
    return [(text.removeprefix(" "), strong), *chunk[1:]]
