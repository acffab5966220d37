"""Where every gram went, drawn as steps from the charge to the log and from the log to the bags."""

from dataclasses import dataclass
from typing import Any

from shop.record.balance import came_in
from shop.screens.office import wording
from shop.screens.office.drawn import Axis, Drawing, Path, Word, box, line
from shop.sentences import Sentence, listed

Line = dict[str, Any]
WIDE, LEFT, RIGHT, TOP, ROW, BAR = 960, 330, 120, 34, 26, 18
KG = 1_000_000
REST, TOO_MUCH = "Not accounted for", "More came out than went in"


@dataclass(frozen=True, slots=True)
class Step:
    """One row: what, how much it adds or takes [mg], `doubt` its ± [mg], whether it is a whole."""

    label: str
    mg: int
    doubt: int = 0
    whole: bool = False
    look: str = "less"


@dataclass(frozen=True, slots=True)
class BalancePage:
    """The balance in words and drawn; `rest` says what is not explained, with its ±."""

    rows: list[tuple[str, str, str]]
    before: list[tuple[str, str, str]]
    rest: str
    missing: str
    share: str
    drawings: list[Drawing]


def balance_page(record: Line) -> BalancePage:
    """Everything the page and the PDF show of the balance."""
    balance = record["mass_balance"]
    return BalancePage(
        rows=[_words(line_) for line_ in balance["lines"]],
        before=[_words(line_) for line_ in balance["before"]],
        rest=_rest(balance),
        missing=listed(Sentence(text) for text in balance["missing"]),
        share=wording.percent(record["yield"]),
        drawings=_drawings(balance),
    )


def _words(line_: Line) -> tuple[str, str, str]:
    return (
        Sentence(line_["label"]),
        "in" if line_["sign"] > 0 else "out",
        wording.kilos(line_["mg"]),
    )


def _rest(balance: Line) -> str:
    doubt = f" ± {wording.kilos(balance['doubt'])}" if balance["doubt"] else ""
    return wording.kilos(balance["unaccounted"]) + doubt


def _drawings(balance: Line) -> list[Drawing]:
    """The upper part only where every step of it was taken, the lower from the log on."""
    found = []
    into = came_in(balance)
    if balance["before"]:
        first, *rest = balance["before"]
        steps = [Step(Sentence(first["label"]), first["mg"], whole=True)]
        steps += [_step(line_) for line_ in rest]
        steps.append(Step(Sentence("Log"), into, whole=True))
        found.append(_drawing(Sentence("From the charge to the log"), steps))
    if into:
        found.append(_drawing(Sentence("From the log to the bags"), _to_the_bags(balance, into)))
    return found


def _to_the_bags(balance: Line, into: int) -> list[Step]:
    """Every loss, the rest under its name, and what was packed, which closes it."""
    outs = [x for x in balance["lines"] if x["sign"] < 0 and x["mg"] is not None]
    steps = [Step(Sentence("Log"), into, whole=True)]
    steps += [_step(x) for x in outs if x["id"] != "packed"]
    if (rest := balance["unaccounted"]) is not None:
        name = REST if rest >= 0 else TOO_MUCH
        steps.append(Step(Sentence(name), -rest, balance["doubt"] or 0, look="rest"))
    packed = next((x["mg"] for x in outs if x["id"] == "packed"), None)
    return steps if packed is None else [*steps, Step(Sentence("Packed"), packed, whole=True)]


def _step(line_: Line) -> Step:
    return Step(
        Sentence(line_["label"]),
        line_["mg"] * line_["sign"],
        look="less" if line_["sign"] < 0 else "more",
    )


def _drawing(title: str, steps: list[Step]) -> Drawing:
    foot = TOP + len(steps) * ROW
    low, high = _ends(steps)
    x = Axis(low, high, LEFT, WIDE - RIGHT)
    paths = [line("grid", (x(v * KG), TOP - 6), (x(v * KG), foot)) for v in _round(x)]
    words = [Word(f"{v:g}\u202fkg", x(v * KG), TOP - 12, "middle", "small") for v in _round(x)]
    level = 0
    for i, step in enumerate(steps):
        y = TOP + i * ROW
        start, level = (0, step.mg) if step.whole else (level, level + step.mg)
        paths += _bar(step, start, level, x, y)
        words += _named(step, y)
        if i + 1 < len(steps):
            paths.append(line("from-to", (x(level), y + BAR), (x(level), y + ROW)))
    named = [Sentence("{label} {mass}", label=s.label, mass=wording.kilos(s.mg)) for s in steps]
    says = Sentence("{steps}.", steps=listed(named, "; "))
    return Drawing(title, says, WIDE, foot + 10, tuple(paths), tuple(words))


def _ends(steps: list[Step]) -> tuple[float, float]:
    """From a little below the lowest level on: the losses are looked at, not the bags."""
    level, levels = 0, []
    for step in steps:
        level = step.mg if step.whole else level + step.mg
        levels += [level - step.doubt, level + step.doubt]
    low, high = min(levels), max(levels)
    return max(low - (high - low or high) * 0.25, 0), high


def _round(x: Axis) -> list[float]:
    """Round kilograms, at most eight."""
    return Axis(x.low / KG, x.high / KG, 0, 1).round_values()


def _bar(step: Step, start: int, level: int, x: Axis, y: float) -> list[Path]:
    """Its bar; a whole one is cut at the left, where the axis does not begin at nought."""
    a, b = sorted((max(x(start), float(LEFT)), x(level)))
    look = "whole" if step.whole else step.look
    paths = [box(f"bar-{look}", a, y, max(b - a, 1.5), BAR)]
    if step.whole and x.low > 0:
        tooth = ((LEFT + 8.0, y), (LEFT + 14.0, y + BAR / 2), (LEFT + 8.0, y + BAR))
        paths.append(line("cut", *tooth))
    if step.doubt:
        paths += _whisker(x(level - step.doubt), x(level + step.doubt), y + BAR / 2)
    return paths


def _whisker(a: float, b: float, y: float) -> list[Path]:
    ends = [line("whisker", (v, y - 5), (v, y + 5)) for v in (a, b)]
    return [line("whisker", (a, y), (b, y)), *ends]


def _named(step: Step, y: float) -> list[Word]:
    sign = "" if step.whole else "+" if step.mg > 0 else ""
    doubt = f" ± {wording.kilos(step.doubt)}" if step.doubt else ""
    look = "strong" if step.whole or step.look == "rest" else "word"
    return [
        Word(step.label, LEFT - 12, y + 14, "end", look),
        Word(f"{sign}{wording.kilos(step.mg)}{doubt}", WIDE - RIGHT + 10, y + 14, look=look),
    ]
