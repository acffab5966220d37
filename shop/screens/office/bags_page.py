"""Bags weighed while packing: a table, what each place's rules say, what to fill, and a plot."""

from dataclasses import dataclass
from typing import Any

from shop.labels.bags import Weighed, bags_left, weighed
from shop.labels.places import place
from shop.plan.whole import half_up
from shop.screens.office.drawn import Axis, Drawing, Word, line, mark
from shop.screens.office.wording import kilos

BAG = "bag_mass"
WIDE, HIGH, LEFT, RIGHT, TOP, FOOT = 960, 300, 70, 190, 20, 34
MG = 1000


@dataclass(frozen=True, slots=True)
class PlaceLine:
    """What the rules of one place say of the bags."""

    name: str
    mean: str
    scatter: str
    short: str
    twice: str
    fill: str
    words: str
    well: bool
    own: bool


@dataclass(frozen=True, slots=True)
class BagsPage:
    """The bags in words; every text is ready to read."""

    advice: str
    bags: list[tuple[int, str]]
    places: list[PlaceLine]
    left: str
    drawing: Drawing | None


def bags_page(
    report: dict[str, Any], state: dict[str, Any], order: dict[str, Any], where: str
) -> BagsPage:
    """From the record's readings that stand, the fold's figures, and where the bags are sold."""
    masses = bags_of(report)
    nominal = int(order.get("fill_mg", 0))
    found = weighed(masses, nominal, where)
    return BagsPage(
        advice=found.advice,
        bags=[(n, f"{mg / MG:.1f} g") for n, mg in enumerate(masses, 1)],
        places=_places(found, where),
        left=_left(masses, state, nominal),
        drawing=_drawing(found) if len(masses) > 1 else None,
    )


def bags_of(report: dict[str, Any]) -> list[int]:
    """Every bag that was weighed [mg], as it happened; struck and corrected ones left out."""
    rows = [
        row
        for row in report["readings"]
        if row["what"] == BAG and not row["struck_by"] and not row["replaced_by"]
    ]
    return [row["value"] for row in sorted(rows, key=lambda row: (row["happened"], row["ref"]))]


def _places(found: Weighed, where: str) -> list[PlaceLine]:
    return [
        PlaceLine(
            name=place(one.place).name,
            mean=f"{one.found.mean_g:.1f} g",
            scatter=f"{one.found.scatter_g:.1f} g",
            short=f"{one.found.short} below {one.short_below_g:.1f} g",
            twice="–"
            if one.twice_below_g is None
            else f"{one.found.twice_short} below {one.twice_below_g:.1f} g",
            fill=f"{one.fill_g} g",
            words=one.words,
            well=one.well,
            own=one.place == where,
        )
        for one in found.judged
    ]


def _left(masses: list[int], state: dict[str, Any], nominal: int) -> str:
    """Counts from weight: what is still loose, and how many bags that makes."""
    figures, packed = state["figures"], state["tallies"].get("bags", 0)
    there, fill = figures.get("net_mass"), figures.get("fill") or nominal
    if there is None or state["phase"] != "open":
        return ""
    mean = half_up(sum(masses), len(masses)) if masses else fill
    mass, count = bags_left(there, packed, mean, fill)
    return f"{packed} bags counted; about {kilos(mass)} left to pack: {count} more."


def _drawing(found: Weighed) -> Drawing:
    """Each bag from left to right; the label's mass, and below which a bag is short."""
    levels = [("on the label", found.nominal_g)]
    if found.judged:
        levels.append(("short", found.judged[0].short_below_g))
    values = [*found.bags_g, *(at for _, at in levels)]
    low, high = min(values) - 1, max(values) + 1
    y = Axis(low, high, HIGH - FOOT, TOP)
    x = Axis(0.5, len(found.bags_g) + 0.5, LEFT, WIDE - RIGHT)
    paths = [line("axis", (LEFT, TOP), (LEFT, HIGH - FOOT), (WIDE - RIGHT, HIGH - FOOT))]
    paths += [line("from-to", (LEFT, y(at)), (WIDE - RIGHT, y(at))) for _, at in levels]
    paths += [mark("inside", x(n), y(g), 5) for n, g in enumerate(found.bags_g, 1)]
    words = [Word(f"{at:g} g {name}", WIDE - RIGHT + 10, y(at) + 5) for name, at in levels]
    words += [Word(f"{v:g}", LEFT - 10, y(v) + 5, "end") for v in y.round_values()]
    words.append(Word("bags as they were weighed", (LEFT + WIDE - RIGHT) / 2, HIGH - 8, "middle"))
    says = ", ".join(f"{g:.1f} g" for g in found.bags_g)
    return Drawing("Bags weighed", f"{says}.", WIDE, HIGH, tuple(paths), tuple(words))
