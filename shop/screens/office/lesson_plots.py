"""Small plots as SVG, boils from left to right: what each said, and what was believed after it."""

from collections.abc import Sequence
from dataclasses import dataclass

from shop.lessons.belief import Held, Seen
from shop.screens.office.plots import Tick, round_numbers

WIDE, HIGH, LEFT, RIGHT, BELOW, TOP = 420, 190, 62, 48, 26, 14
# Boils that a small plot can show apart from each other.
SHOWN = 40


@dataclass(frozen=True, slots=True)
class Point:
    """What one boil said, with a bar of ± two standard deviations."""

    x: str
    y: str
    top: str
    bottom: str


@dataclass(frozen=True, slots=True)
class Fit:
    """A drawing of `box`: points, the line that is believed and its range, a level to compare."""

    title: str
    box: str
    points: list[Point]
    band: str
    line: str
    level: Tick | None
    first: str
    last: str
    up_ticks: list[Tick]


class _Frame:
    """From boil and value to places in the drawing."""

    def __init__(self, boils: int, values: Sequence[float]) -> None:
        self.boils = max(boils - 1, 1)
        edge = (max(values) - min(values) or abs(max(values)) or 1.0) * 0.06
        self.low, self.high = min(values) - edge, max(values) + edge

    def x(self, boil: int) -> str:
        return f"{LEFT + 8 + boil / self.boils * (WIDE - LEFT - RIGHT - 16):.1f}"

    def y(self, value: float) -> str:
        part = (value - self.low) / (self.high - self.low)
        return f"{HIGH - BELOW - part * (HIGH - BELOW - TOP):.1f}"

    def line(self, values: Sequence[float]) -> str:
        return " ".join(f"{self.x(boil)},{self.y(value)}" for boil, value in enumerate(values))

    def up_ticks(self) -> list[Tick]:
        values = round_numbers(self.low, self.high)
        places = [Tick(f"{v:g}", f"{LEFT - 8}", self.y(v)) for v in values]
        return places[:: 1 + len(places) // 5]

    def level(self, words: str, value: float) -> Tick:
        return Tick(words, f"{WIDE - RIGHT}", self.y(value))


def fit_plot(title: str, seen: Sequence[Seen], course: Sequence[Held], now: float | None) -> Fit:
    """What the newest boils said of a number, in people's unit; `now` is what is set."""
    first = max(len(course) - SHOWN, 0)
    shown, held = [one for one in seen if one.boil >= first], course[first:]
    values = [v for one in held for v in (one.low, one.high)]
    values += [v for one in shown for v in (one.value - 2 * one.sd, one.value + 2 * one.sd)]
    frame = _Frame(len(held), values if now is None else [*values, now])
    lows, highs = ([getattr(one, side) for one in held] for side in ("low", "high"))
    back = " ".join(reversed(frame.line(lows).split(" ")))
    return Fit(
        title,
        f"0 0 {WIDE} {HIGH}",
        [_point(frame, one, one.boil - first) for one in shown],
        f"{frame.line(highs)} {back}",
        frame.line([one.value for one in held]),
        None if now is None else frame.level("set", now),
        *_ends(first, len(course)),
        frame.up_ticks(),
    )


def _point(frame: _Frame, seen: Seen, boil: int) -> Point:
    value, reach = seen.value, 2 * seen.sd
    ends = (frame.y(value + reach), frame.y(value - reach))
    return Point(frame.x(boil), frame.y(value), *ends)


def errors_plot(rolling: Sequence[float]) -> Fit:
    """The mean error of up to ten boils, in halves of the stated range: below 1 is within it."""
    first = max(len(rolling) - SHOWN, 0)
    shown = rolling[first:]
    frame = _Frame(len(shown), [*shown, 0.0, 1.0])
    return Fit(
        "Middle error of the plans, mean of ten boils",
        f"0 0 {WIDE} {HIGH}",
        [],
        "",
        frame.line(shown),
        frame.level("edge", 1.0),
        *_ends(first, len(rolling)),
        frame.up_ticks(),
    )


def _ends(first: int, boils: int) -> tuple[str, str]:
    return f"boil {first + 1}", f"boil {boils}"
