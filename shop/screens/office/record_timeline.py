"""Who did what when, drawn as lanes of people over the clock."""

from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from shop.screens.office import wording
from shop.screens.office.drawn import Axis, Drawing, Path, Word, box, line
from shop.screens.office.record_temperature import clock_ticks
from shop.sentences import Sentence, listed

Line = dict[str, Any]
WIDE, LEFT, RIGHT, TOP, BELOW = 960, 104, 12, 40, 36
ROW, GAP, BAR = 24, 10, 20
# A stretch of one press is drawn this wide, so that its number can be read.
LEAST = 24.0
LETTER = 7.6
MINUTE = 60_000
LOOKS = ("setup", "kettle", "table", "hook", "block", "roller", "packing")


@dataclass(frozen=True, slots=True)
class StretchRow:
    """One stretch of work in words; `number` is its place in the drawing."""

    number: int
    who: str
    where: str
    times: str
    entries: int
    said: str
    beside: str


@dataclass(frozen=True, slots=True)
class TimelinePage:
    """The drawing, every stretch in words, who had the boil."""

    drawing: Drawing | None
    rows: list[StretchRow]
    had: list[str]


def timeline_page(record: Line, zone: ZoneInfo) -> TimelinePage:
    """Everything the page and the PDF show of who did what."""
    line_ = record["timeline"]
    rows, number = [], 0
    for lane in line_["lanes"]:
        for stretch in lane["stretches"]:
            number += 1
            rows.append(_row(number, lane["name"], stretch, zone))
    had: list[str] = [
        Sentence("{name} from {time}", name=h["name"], time=wording.clock(h["from"], zone))
        for h in line_["had"]
    ]
    return TimelinePage(_drawing(line_, zone) if rows else None, rows, had)


def _row(number: int, who: str, stretch: Line, zone: ZoneInfo) -> StretchRow:
    start, end = (wording.clock(stretch[k], zone) for k in ("from", "to"))
    said = list(dict.fromkeys(stretch["said"]))
    return StretchRow(
        number=number,
        who=who,
        where=Sentence(stretch["name"]),
        times=start if start == end else Sentence("{low} to {high}", low=start, high=end),
        entries=len(stretch["said"]),
        said=listed([Sentence(text) for text in dict.fromkeys([said[0], said[-1]])], " … "),
        beside="; ".join(stretch["beside"]),
    )


def _drawing(line_: Line, zone: ZoneInfo) -> Drawing:
    start, end = line_["from"], max(line_["to"], line_["from"] + 10 * MINUTE)
    x = Axis(start, end, LEFT, WIDE - RIGHT - LEAST)
    paths, words, y, number = (
        _holders(line_, x),
        _named_holders(line_, x),
        float(TOP + ROW + GAP),
        0,
    )
    middles = {}
    for lane in line_["lanes"]:
        rows = _stacked(lane["stretches"], x)
        high = (max(row for _, row in rows) + 1) * ROW
        words.append(Word(lane["name"], LEFT - 10, y + 15, "end", "strong"))
        paths.append(line("grid", (LEFT, y - GAP / 2), (WIDE - RIGHT, y - GAP / 2)))
        for stretch, row in rows:
            number += 1
            paths.append(_bar(stretch, x, y + row * ROW))
            words.append(_label(number, stretch, x, y + row * ROW))
        middles[lane["name"]] = y + high / 2
        y += high + GAP
    crossing, told = _handovers(line_, x, middles, y, zone)
    clocks, ticks = clock_ticks(x, y, zone)
    paths += [line("axis", (LEFT, y), (WIDE - RIGHT, y)), *ticks, *crossing]
    says = Sentence(
        "{people} people and {n} stretches of work, as in the table below.",
        people=len(line_["lanes"]),
        n=number,
    )
    high = round(y + BELOW)
    return Drawing(
        Sentence("People and stations over the clock"),
        says,
        WIDE,
        high,
        tuple(paths),
        (*words, *clocks, *told),
    )


def _holders(line_: Line, x: Axis) -> list[Path]:
    """Who had the boil, along the top."""
    ends = [h["from"] for h in line_["had"][1:]] + [x.high]
    spans = [
        (max(x(h["from"]), LEFT), x(min(end, x.high)))
        for h, end in zip(line_["had"], ends, strict=True)
    ]
    return [
        box("had" if i % 2 == 0 else "had-next", a, TOP, max(b - a, LEAST), BAR)
        for i, (a, b) in enumerate(spans)
    ]


def _named_holders(line_: Line, x: Axis) -> list[Word]:
    names = [
        Word(
            h["name"],
            max(x(h["from"]), LEFT) + 6,
            TOP + 15,
            look="on-dark" if i % 2 == 0 else "word",
        )
        for i, h in enumerate(line_["had"])
    ]
    return [Word(Sentence("Has the boil"), LEFT - 10, TOP + 15, "end"), *names]


def _stacked(stretches: list[Line], x: Axis) -> list[tuple[Line, int]]:
    """Each stretch with a row of its lane in which it lies on no other."""
    ends: list[float] = []
    found = []
    for stretch in stretches:
        begins = x(stretch["from"])
        row = next((i for i, end in enumerate(ends) if end <= begins), len(ends))
        ends[row : row + 1] = [begins + _wide(stretch, x)]
        found.append((stretch, row))
    return found


def _wide(stretch: Line, x: Axis) -> float:
    return max(x(stretch["to"]) - x(stretch["from"]), LEAST)


def _bar(stretch: Line, x: Axis, y: float) -> Path:
    look = stretch["station"] if stretch["station"] in LOOKS else "nowhere"
    return box(f"at-{look}", x(stretch["from"]), y, _wide(stretch, x), BAR)


def _label(number: int, stretch: Line, x: Axis, y: float) -> Word:
    whole = Sentence("{n} {name}", n=number, name=Sentence(stretch["name"]))
    fits = len(whole) * LETTER + 8 <= _wide(stretch, x)
    return Word(whole if fits else str(number), x(stretch["from"]) + 4, y + 15)


def _handovers(
    line_: Line, x: Axis, middles: dict[str, float], foot: float, zone: ZoneInfo
) -> tuple[list[Path], list[Word]]:
    """A line through all lanes at each handover, an arrow from one person to the other."""
    paths, words = [], []
    for i, h in enumerate(line_["handovers"]):
        at = x(h["taken"])
        kind = Sentence("glance card") if h["glance"] else Sentence("handover")
        paths.append(line("handover", (at, TOP - 4), (at, foot)))
        words.append(
            Word(
                listed([kind, wording.clock(h["taken"], zone)], " "),
                at - 4,
                14 + 15 * (i % 2),
                "end",
            )
        )
        paths.append(line("handover", (at, TOP - 4), (at, 8 + 15 * (i % 2))))
        if h["from"] in middles and h["to"] in middles:
            paths += _arrow(at, middles[h["from"]], middles[h["to"]])
    return paths, words


def _arrow(at: float, start: float, end: float) -> list[Path]:
    back = -9 if end > start else 9
    head = ((at - 6, end + back), (at, end), (at + 6, end + back))
    return [line("arrow", (at, start), (at, end)), Path("arrow-head", head, closed=True)]
