"""Drawings of a record, as paths and words that a page and a PDF both draw."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shop.screens.office.plots import round_numbers

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Path:
    """A line through points, closed and filled where `closed`; `look` is its class of style."""

    look: str
    points: tuple[Point, ...]
    closed: bool = False

    @property
    def d(self) -> str:
        """The path as SVG wants it (SVG 2, 9.3)."""
        line = " ".join(f"{x:.1f} {y:.1f}" for x, y in self.points)
        return f"M{line}{'Z' if self.closed else ''}"


@dataclass(frozen=True, slots=True)
class Word:
    """A text at a place; `anchor` is start, middle or end."""

    text: str
    x: float
    y: float
    anchor: str = "start"
    look: str = "word"

    @property
    def at(self) -> tuple[str, str]:
        """Its place as SVG wants it, whatever language numbers are written in."""
        return f"{self.x:.1f}", f"{self.y:.1f}"


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing of so many units; `says` is its whole content in one sentence."""

    title: str
    says: str
    wide: int
    high: int
    paths: tuple[Path, ...]
    words: tuple[Word, ...]

    @property
    def box(self) -> str:
        """Its view box."""
        return f"0 0 {self.wide} {self.high}"


class Axis:
    """From values to places along one side; `low` and `high` come to `start` and `end`."""

    def __init__(self, low: float, high: float, start: float, end: float) -> None:
        self.low, self.high, self.start, self.end = low, high, start, end

    def __call__(self, value: float) -> float:
        share = (value - self.low) / ((self.high - self.low) or 1.0)
        return self.start + share * (self.end - self.start)

    def round_values(self) -> list[float]:
        """Round numbers on it."""
        return round_numbers(self.low, self.high)


def box(look: str, x: float, y: float, wide: float, high: float) -> Path:
    """An upright rectangle from its upper left corner."""
    corners = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
    return Path(look, corners, closed=True)


def line(look: str, *points: Point) -> Path:
    """A line through the points."""
    return Path(look, points)


# A mark of so many corners, the first at this angle from the right [degrees].
CORNERS = {"inside": (16, 0), "mean": (4, 45), "skin": (3, 90), "air": (6, 0), "passed": (4, 0)}


def mark(how: str, x: float, y: float, r: float = 6.5) -> Path:
    """Where something was read; its shape says how: inside, mean, skin, air, passed."""
    corners, turned = CORNERS.get(how, CORNERS["inside"])
    angles = [math.radians(turned + 360 * i / corners) for i in range(corners)]
    points = tuple((x + r * math.cos(a), y - r * math.sin(a)) for a in angles)
    return Path(f"read-{how if how in CORNERS else 'inside'}", points, closed=True)


def ribbon(look: str, upper: Sequence[Point], lower: Sequence[Point]) -> Path:
    """The area between two lines."""
    return Path(look, (*upper, *reversed(lower)), closed=True)
