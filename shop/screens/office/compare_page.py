"""Two boils side by side: the difference in words, then loss by loss, the largest first."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from shop.plan.whole import half_up
from shop.record.compare import compare
from shop.record.words import decimal
from shop.screens.office import wording
from shop.screens.office.units import say
from shop.sentences import Sentence, listed

Line = dict[str, Any]
# Half the width of a difference's bar.
HALF = 50


@dataclass(frozen=True, slots=True)
class Choice:
    """A boil to choose."""

    key: str
    lot: str
    title: str


@dataclass(frozen=True, slots=True)
class LossRow:
    """A loss in both, and how many points of the log more the second one lost by it."""

    label: str
    a: str
    b: str
    more: str
    bar: str
    look: str


@dataclass(frozen=True, slots=True)
class OffRow:
    """What went off in one of them."""

    what: str
    changed: str
    both: bool


@dataclass(frozen=True, slots=True)
class ComparePage:
    """Two boils; `words` say what differs, the most important first."""

    choices: list[Choice]
    a: Choice | None
    b: Choice | None
    words: list[str]
    losses: list[LossRow]
    yields: tuple[str, str, str]
    sums: tuple[str, str, str]
    unknown: list[tuple[str, str]]
    numbers: list[tuple[str, str, str, str]]
    stages: list[tuple[str, str, str, str]]
    off: list[list[OffRow]]


def compare_page(choices: list[Choice], pair: list[tuple[Choice, Line]]) -> ComparePage:
    """The page of two records, or only the choice where there are no two."""
    if len(pair) < 2:
        none = ("", "", "")
        return ComparePage(choices, None, None, [], [], none, none, [], [], [], [[], []])
    (a, first), (b, second) = pair
    found = compare(first, second)
    return ComparePage(
        choices=choices,
        a=a,
        b=b,
        words=_words(found, a.lot, b.lot),
        losses=[_loss(line, found["losses"][0]) for line in found["losses"]],
        yields=_pair(found["yield"], wording.percent, _points),
        sums=_sums(found),
        unknown=[
            (lot, listed(Sentence(name) for name in names))
            for lot, names in zip((a.lot, b.lot), found["unknown"], strict=True)
            if names
        ],
        numbers=[
            (Sentence(n["label"]), *_pair(n["value"], _unit(n["unit"]))) for n in found["numbers"]
        ],
        stages=[(Sentence(s["label"]), *_pair(s["ms"], _minutes)) for s in found["stages"]],
        off=[[_off(entry) for entry in side] for side in found["off"]],
    )


Words = Callable[[int | None], str]
PLUS = "+"


def _pair(pair: Line, words: Words, more: Words | None = None) -> tuple[str, str, str]:
    """Both values and how much more the second has, in words."""
    return words(pair["a"]), words(pair["b"]), _signed(pair["more"], more or words)


def _signed(value: int | None, words: Words) -> str:
    if value is None:
        return ""
    return (
        Sentence("the same")
        if value == 0
        else listed([PLUS if value > 0 else "", words(value)], "")
    )


def _points(ppm: int | None) -> str:
    return "–" if ppm is None else Sentence("{n} points", n=decimal(ppm, 10_000, 1))


def _minutes(ms: int | None) -> str:
    return "–" if ms is None else f"{decimal(ms, 60_000, 0)} min"


def _unit(unit: str) -> Words:
    return wording.kilos if unit == "mg" else lambda value: say(value, unit)


def _words(found: Line, a: str, b: str) -> list[str]:
    """How far the yields are apart, then the loss that differs most."""
    yields = found["yield"]
    if yields["more"] is None:
        lacking = [lot for lot, share in ((a, yields["a"]), (b, yields["b"])) if share is None]
        return [
            Sentence(
                "{some}: no yield yet; log and bags are not both weighed.",
                some=" and ".join(lacking),
            )
        ]
    one, other = wording.percent(yields["b"]), wording.percent(yields["a"])
    shares = Sentence("{one} against {other}", one=one, other=other)
    if abs(yields["more"]) < TELLING:
        first = Sentence("Both yielded the same: {shares}.", shares=shares)
    else:
        how = {"b": b, "a": a, "points": _points(abs(yields["more"])), "shares": shares}
        first = Sentence("{b} yielded {points} more than {a}: {shares} of the log.", **how)
        if yields["more"] < 0:
            first = Sentence("{b} yielded {points} less than {a}: {shares} of the log.", **how)
    return [first, _largest(found["losses"][0], a, b)]


# Below a twentieth of a point of the log nothing is told apart.
TELLING = 500
# Nor half of the hundredth of a kilogram that is shown [mg].
GRAMS = 5000


def _largest(line: Line, a: str, b: str) -> str:
    """`0.31 kg more dust and chips in L6329B: 5.8 % of its log against 3.0 %.`"""
    moved, grams, label = line["ppm"]["more"], line["mg"]["more"], Sentence(line["label"].lower())
    if abs(moved) < TELLING:
        return Sentence("No loss differs by as much as a twentieth of a point.")
    more, fewer = ("b", "a") if moved > 0 else ("a", "b")
    lot = {"a": a, "b": b}[more]
    one, other = (wording.percent(line["ppm"][side]) for side in (more, fewer))
    shares = Sentence("{one} of its log against {other}", one=one, other=other)
    if (grams > 0) == (moved > 0) and grams:
        return Sentence(
            "{mass} more {label} in {lot}: {shares}.",
            mass=wording.kilos(abs(grams)),
            label=label,
            lot=lot,
            shares=shares,
        )
    # Logs of very different size: more of a log, and yet no more grams.
    return Sentence(
        "More of its log went into {label} in {lot}: {shares}.", label=label, lot=lot, shares=shares
    )


def _loss(line: Line, largest: Line) -> LossRow:
    """One row; its bar is as long as its share of the largest difference."""
    moved = line["ppm"]["more"]
    most = abs(largest["ppm"]["more"]) or 1
    wide = half_up(abs(moved) * HALF, most)
    sides = [
        f"{wording.percent(line['ppm'][side])}, {wording.kilos(line['mg'][side])}"
        if line["ppm"][side] is not None
        else Sentence("not weighed")
        for side in ("a", "b")
    ]
    left = HALF if moved > 0 else HALF - wide
    more = listed([_signed(moved, _points), _signed(line["mg"]["more"], wording.kilos)])
    return LossRow(
        label=Sentence(line["label"]),
        a=sides[0],
        b=sides[1],
        more=Sentence("the same")
        if abs(moved) < TELLING and abs(line["mg"]["more"]) < GRAMS
        else more,
        bar=f"M{left} 1h{wide}v8h-{wide}Z",
        look="more" if moved > 0 else "fewer",
    )


def _sums(found: Line) -> tuple[str, str, str]:
    """All losses together: what the yields lack of the whole log."""
    columns = (
        sum(line["ppm"][side] or 0 for line in found["losses"]) for side in ("a", "b", "more")
    )
    a, b, more = columns
    return wording.percent(a), wording.percent(b), _signed(more, _points)


def _off(entry: Line) -> OffRow:
    seen = wording.band_of(entry)
    say = Sentence(entry["say"])
    what = listed([say, seen], " ") if seen else say
    changed = Sentence(entry["mended"]["text"]) if entry["mended"] else ""
    return OffRow(what, changed, bool(entry["both"]))
