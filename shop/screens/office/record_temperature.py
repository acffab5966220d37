"""The temperature of a boil over the day: what the plan foretold, and what was read."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

from shop.plan.foretold import Course, kettle_course, table_course
from shop.record.fold import fold
from shop.screens.office import wording
from shop.screens.office.drawn import Axis, Drawing, Path, Word, box, line, mark, ribbon
from shop.screens.office.units import say
from shop.sentences import Sentence, listed

Line = dict[str, Any]
WIDE, HIGH, LEFT, RIGHT, TOP, BELOW = 960, 400, 62, 20, 52, 40
MINUTE = 60_000
HOT, COLD = 160_000, 20_000
# Where sugar begins to colour: minutes above it are counted.
BROWNS = 130_000
SHOWN = ("lit", "poured", "closed", "first_rod", "last_rod")
HOW = {"passed": "seen to pass", "air": "of the air"}


@dataclass(frozen=True, slots=True)
class TemperatureRow:
    """One temperature in words; `number` is its place in the drawing, "" where it has none."""

    number: str
    what: str
    at: str
    read: str
    correction: str
    true: str
    wanted: str
    foretold: str
    by: str


@dataclass(frozen=True, slots=True)
class TemperaturePage:
    """The drawing, its rows, and what was foretold from what."""

    drawing: Drawing | None
    rows: list[TemperatureRow]
    foretold: list[str]


def temperature_page(record: Line, zone: ZoneInfo) -> TemperaturePage:
    """Everything of a boil's temperatures that its page and its PDF show."""
    courses = _courses(record)
    drawn = _drawn(record)
    return TemperaturePage(
        _drawing(record, drawn, courses, zone) if drawn else None,
        [_row(r, drawn, courses, zone) for r in record["temperatures"]],
        [_foretold(course) for _, course in courses],
    )


def _courses(record: Line) -> list[tuple[int, Course]]:
    """What the plan as frozen foretold, from when the boil was lit and poured on."""
    sheet = record["kept"]["sheet"]
    at = {m["id"]: m["at"] for m in record["summary"]["moments"]}
    if "lit" not in at or "numbers" not in sheet:
        return []
    figures = fold(sheet, [])["figures"]
    found = [("lit", kettle_course(sheet, figures)), ("poured", table_course(sheet, figures))]
    return [(at[start], course) for start, course in found if course and start in at]


def _foretold(course: Course) -> str:
    return Sentence(
        "{name}: {says}, its minutes ± {spread} %.",
        name=Sentence(course.name),
        says=course.says,
        spread=course.spread // 10_000,
    )


def _drawn(record: Line) -> list[Line]:
    """The temperatures from lighting on; before it the room was read."""
    lit = next((m["at"] for m in record["summary"]["moments"] if m["id"] == "lit"), None)
    return [r for r in record["temperatures"] if lit is not None and r["at"] >= lit]


def _drawing(
    record: Line, drawn: list[Line], courses: list[tuple[int, Course]], zone: ZoneInfo
) -> Drawing:
    moments = {m["id"]: m for m in record["summary"]["moments"]}
    ends = [start + course.stretched(course.spread)[-1][0] for start, course in courses]
    start, end = moments["lit"]["at"] - MINUTE, max([drawn[-1]["at"] + 2 * MINUTE, *ends])
    x, y = Axis(start, end, LEFT, WIDE - RIGHT), Axis(COLD, HOT, HIGH - BELOW, TOP)
    paths, words = _frame(x, y, zone)
    for moment in (moments[m] for m in SHOWN if m in moments and moments[m]["at"] <= end):
        paths.append(line("moment", (x(moment["at"]), TOP - 12), (x(moment["at"]), HIGH - BELOW)))
        words.append(Word(Sentence(moment["label"]), x(moment["at"]) + 3, TOP - 18, look="small"))
    for began, course in courses:
        paths += _course(began, course, x, y)
    paths += _readings(drawn, x, y)
    words += [_number(i, r, x, y) for i, r in enumerate(drawn, 1)]
    says = Sentence("{n} temperatures, each numbered as in the table below.", n=len(drawn))
    return Drawing(
        Sentence("Temperature over the day"), says, WIDE, HIGH, tuple(paths), tuple(words)
    )


def _frame(x: Axis, y: Axis, zone: ZoneInfo) -> tuple[list[Path], list[Word]]:
    paths = [line("grid", (LEFT, y(v)), (WIDE - RIGHT, y(v))) for v in range(COLD, HOT, 20_000)]
    paths.append(line("limit", (LEFT, y(BROWNS)), (WIDE - RIGHT, y(BROWNS))))
    words = [
        Word(say(v, "m°C", 0), LEFT - 8, y(v) + 5, "end") for v in range(COLD, HOT + 1, 20_000)
    ]
    words.append(Word(say(BROWNS, "m°C", 0), WIDE - RIGHT, y(BROWNS) - 5, "end", "small"))
    paths.append(line("axis", (LEFT, TOP), (LEFT, HIGH - BELOW), (WIDE - RIGHT, HIGH - BELOW)))
    clocks, ticks = clock_ticks(x, HIGH - BELOW, zone)
    return [*paths, *ticks], [*words, *clocks]


STEPS = (5, 10, 15, 20, 30, 60, 120, 240, 720, 1440)
MOST_TICKS = 12


def clock_ticks(x: Axis, foot: float, zone: ZoneInfo) -> tuple[list[Word], list[Path]]:
    """Round times of day along an axis of moments [ms]."""
    span = (x.high - x.low) / MINUTE
    step = next((s for s in STEPS if span / s <= MOST_TICKS), int(span)) * MINUTE
    first = -(-int(x.low) // step) * step
    moments = range(first, int(x.high) + 1, step)
    words = [Word(wording.clock(at, zone), x(at), foot + 22, "middle") for at in moments]
    return words, [line("axis", (x(at), foot), (x(at), foot + 6)) for at in moments]


def _course(began: int, course: Course, x: Axis, y: Axis) -> list[Path]:
    """The band between the earliest and the latest, and the course in it."""
    sides = [
        [(x(began + at), y(value)) for at, value in course.stretched(ppm)]
        for ppm in (-course.spread, 0, course.spread)
    ]
    return [ribbon("foretold-band", sides[0], sides[2]), Path("foretold", tuple(sides[1]))]


def _readings(drawn: list[Line], x: Axis, y: Axis) -> list[Path]:
    """Each reading as its mark over what was wanted; those of the kettle joined."""
    kettle = [r for r in drawn if r["how"] in ("inside", "passed") and r["correction"]]
    joined = [line("read-line", *((x(r["at"]), y(r["true"])) for r in kettle))] if kettle else []
    wanted = [_wanted(r, x, y) for r in drawn if r["target"] is not None]
    return [*wanted, *joined, *(mark(r["how"], x(r["at"]), y(r["true"])) for r in drawn)]


def _wanted(r: Line, x: Axis, y: Axis) -> Path:
    target, width = r["target"] + r["correction"], max(r["tolerance"], 500)
    high = y(target - width) - y(target + width)
    return box("wanted", x(r["at"]) - 9, y(target + width), 18, high)


def _number(i: int, r: Line, x: Axis, y: Axis) -> Word:
    """To the right of its mark; above it near the right edge."""
    near = x(r["at"]) > WIDE - RIGHT - 30
    return Word(
        str(i),
        x(r["at"]) + (-9 if near else 9),
        y(r["true"]) - 7,
        "end" if near else "start",
        "strong",
    )


def _row(
    r: Line, drawn: list[Line], courses: list[tuple[int, Course]], zone: ZoneInfo
) -> TemperatureRow:
    how = Sentence(HOW.get(r["how"], r["how"]) or "")
    width = f" ± {say(r['tolerance'], 'mK')}" if r["tolerance"] else ""
    return TemperatureRow(
        number=str(drawn.index(r) + 1) if r in drawn else "",
        what=Sentence(r["label"]),
        at=wording.clock(r["at"], zone),
        read=listed([say(r["value"], "m°C"), how, Sentence(r["instrument_name"])]),
        correction=f"{'+' if r['correction'] > 0 else ''}{say(r['correction'], 'mK')}"
        if r["correction"]
        else "",
        true=say(r["true"], "m°C"),
        wanted="" if r["target"] is None else say(r["target"], "m°C") + width,
        foretold=_at(r, courses, zone),
        by=r["by"],
    )


def _at(r: Line, courses: list[tuple[int, Course]], zone: ZoneInfo) -> str:
    """What the plan foretold inside the sugar: on the way up when, on the way down how hot."""
    for began, course in courses:
        sides = (-course.spread, course.spread)
        if r["correction"] and course.points[-1][1] > course.points[0][1]:
            moments = [_when(course, ppm, r["true"]) for ppm in sides]
            known = [wording.clock(began + at, zone) for at in moments if at is not None]
        elif r["how"] in ("inside", "mean"):
            values = [_value(course, ppm, r["at"] - began) for ppm in sides]
            known = [say(v, "m°C", places=0) for v in sorted(v for v in values if v is not None)]
        else:
            known = []
        if len(known) == len(sides):
            return Sentence("{low} to {high}", low=known[0], high=known[1])
    return ""


def _when(course: Course, ppm: int, wanted: int) -> int | None:
    """When the course passes a temperature on its way up [ms]; None where it does not."""
    for (t0, v0), (t1, v1) in pairwise(course.stretched(ppm)):
        if v0 <= wanted <= v1:
            return t0 + (t1 - t0) * (wanted - v0) // max(v1 - v0, 1)
    return None


def _value(course: Course, ppm: int, at: int) -> int | None:
    """The course at a moment, straight between its points; None outside it."""
    points = course.stretched(ppm)
    for (t0, v0), (t1, v1) in pairwise(points):
        if t0 <= at <= t1:
            return v0 + (v1 - v0) * (at - t0) // max(t1 - t0, 1)
    return None
