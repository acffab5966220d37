"""Small plots as SVG: lines over an axis, with a mark and bands to look at."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from shop.craft.reckon import boiling_curve, cooling_curves
from shop.plan.numbers import defaults

WIDE, HIGH, LEFT, BELOW, TOP, LINE = 560, 300, 52, 40, 10, 16


@dataclass(frozen=True, slots=True)
class Course:
    """A line of the plot: its name, points for SVG, and where its name stands."""

    name: str
    points: str
    x: str
    y: str


@dataclass(frozen=True, slots=True)
class Tick:
    """A number on an axis and where it stands."""

    words: str
    x: str
    y: str


@dataclass(frozen=True, slots=True)
class Band:
    """A range of the upright axis."""

    name: str
    y: str
    high: str
    middle: str


@dataclass(frozen=True, slots=True)
class Plot:
    """A drawing of `box`, with what its axes say."""

    title: str
    across: str
    up: str
    box: str
    courses: list[Course]
    bands: list[Band]
    across_ticks: list[Tick]
    up_ticks: list[Tick]
    mark: Tick | None


class _Frame:
    """From values to places in the drawing."""

    def __init__(self, xs: Sequence[float], ys: Sequence[float]) -> None:
        self.left, self.right = min(xs), max(xs)
        self.low, self.high = min(ys), max(ys)

    def x(self, value: float) -> float:
        return LEFT + (value - self.left) / (self.right - self.left) * (WIDE - LEFT - 80)

    def y(self, value: float) -> float:
        return HIGH - BELOW - (value - self.low) / (self.high - self.low) * (HIGH - BELOW - TOP)

    def course(self, name: str, xs: Sequence[float], ys: Sequence[float]) -> Course:
        points = " ".join(f"{self.x(x):.1f},{self.y(y):.1f}" for x, y in zip(xs, ys, strict=True))
        return Course(name, points, f"{self.x(xs[-1]) + 6:.1f}", f"{self.y(ys[-1]) + 4:.1f}")

    def across_ticks(self) -> list[Tick]:
        low = f"{HIGH - BELOW + 18}"
        return [
            Tick(f"{v:g}", f"{self.x(v):.1f}", low) for v in round_numbers(self.left, self.right)
        ]

    def up_ticks(self) -> list[Tick]:
        left = f"{LEFT - 8}"
        return [
            Tick(f"{v:g}", left, f"{self.y(v) + 4:.1f}") for v in round_numbers(self.low, self.high)
        ]

    def band(self, name: str, low: float, high: float) -> Band:
        top, bottom = self.y(min(high, self.high)), self.y(max(low, self.low))
        return Band(
            name, f"{top:.1f}", f"{max(bottom - top, 0):.1f}", f"{(top + bottom) / 2 + 4:.1f}"
        )


def _apart(courses: list[Course]) -> list[Course]:
    """Names that would stand on each other moved down, the highest stays."""
    moved: list[Course] = []
    for course in sorted(courses, key=lambda c: float(c.y)):
        free = float(moved[-1].y) + LINE if moved else 0.0
        moved.append(replace(course, y=f"{max(float(course.y), free):.1f}"))
    return moved


def round_numbers(low: float, high: float) -> list[float]:
    """Four to eight round numbers between two."""
    step = 10 ** np.floor(np.log10(high - low))
    step = next(s for s in (step / 5, step / 2, step, 2 * step) if (high - low) / s <= 8)
    first = np.ceil(low / step - 1e-9)
    last = np.floor(high / step + 1e-9)
    return [float(round(i * step, 9)) + 0.0 for i in np.arange(first, last + 1)]


def boiling_plot(given: dict[str, str]) -> Plot:
    """Boiling point over solids at today's pressure, with the mark asked for."""
    solids, boils, at, mark = boiling_curve(given)
    frame = _Frame(solids, boils)
    return Plot(
        "Boiling point at this pressure",
        "dry solids, %",
        "°C",
        f"0 0 {WIDE} {HIGH}",
        [frame.course("", solids, boils)],
        [],
        frame.across_ticks(),
        frame.up_ticks(),
        Tick(f"{mark:.1f} °C", f"{frame.x(at):.1f}", f"{frame.y(mark):.1f}")
        if frame.left <= at <= frame.right
        else None,
    )


def cooling_plot(given: dict[str, str]) -> Plot:
    """Top, mean and bottom of a sheet over time, with the shop's working temperatures."""
    minutes, courses = cooling_curves(given)
    values = [value for course in courses.values() for value in course]
    frame = _Frame(minutes, values)
    number = defaults()
    marks = [
        ("pull", number["pull_temperature"].value / 1000),
        ("lay up", number["build_temperature"].value / 1000),
    ]
    bands = [frame.band(name, at - 3, at + 3) for name, at in marks if frame.low < at < frame.high]
    return Plot(
        "The sheet as it cools",
        "minutes",
        "°C",
        f"0 0 {WIDE} {HIGH}",
        _apart([frame.course(name, minutes, course) for name, course in courses.items()]),
        bands,
        frame.across_ticks(),
        frame.up_ticks(),
        None,
    )
