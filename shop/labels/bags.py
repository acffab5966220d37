"""Bags as they are weighed while packing: mean, scatter, short ones, and what to fill."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shop.craft.errors import CraftError
from shop.craft.pack import Verdict, fill_target, judge, tolerable_error
from shop.labels.places import PLACES, Place, place
from shop.sentences import Sentence, listed

GRAM = 1000
# Fewer say nothing of scatter.
FEWEST = 2
# So many and the advice is worth acting on; judgement, no source.
ENOUGH = 5


@dataclass(frozen=True, slots=True)
class Judged:
    """The bags by one place's rules: what was found, limits [g], what to fill [g], and how it
    stands in words; `well` where every rule is kept."""

    place: str
    found: Verdict
    short_below_g: float
    twice_below_g: float | None
    fill_g: int
    words: str
    well: bool


@dataclass(frozen=True, slots=True)
class Weighed:
    """Bags [g] in the order they were weighed, against the mass on the label [g]."""

    bags_g: tuple[float, ...]
    nominal_g: float
    light: int
    judged: tuple[Judged, ...]
    advice: str


def weighed(bags_mg: Sequence[int], nominal_mg: int, where: str) -> Weighed:
    """What the bags say, by the rules of every place, and the advice for the one they go to."""
    bags, nominal = tuple(mg / GRAM for mg in bags_mg), nominal_mg / GRAM
    light = sum(bag < nominal for bag in bags)
    every = [judged_by(bags, nominal, place(name)) for name in PLACES]
    found = tuple(one for one in every if one is not None)
    own = next((one for one in found if one.place == where), None)
    return Weighed(bags, nominal, light, found, _advice(bags, nominal, light, own))


def judged_by(bags: Sequence[float], nominal: float, there: Place) -> Judged | None:
    """The bags by the rules of one place; None where they are too few or it has no rule for such
    a bag."""
    if len(bags) < FEWEST:
        return None
    try:
        found = judge(bags, nominal, there.id)
        error = tolerable_error(nominal, there.id)
        fill = _fill(nominal, found, len(bags), there)
    except CraftError:
        return None
    us = there.id == "US"
    wrong = _wrong(found, len(bags), us=us)
    twice = None if us else nominal - 2 * error
    words = listed(wrong, "; ") if wrong else Sentence("as it should be")
    return Judged(there.id, found, nominal - error, twice, fill, words, not wrong)


def _fill(nominal: float, found: Verdict, n: int, there: Place) -> int:
    """What to aim at [g], up to the packing scale's whole gram: as the rules want it, and so far
    over the label as a mean of so few bags is unsure (two standard errors; judgement)."""
    unsure = nominal + 2 * found.scatter_g / math.sqrt(n)
    return math.ceil(round(max(fill_target(nominal, found.scatter_g, there.id), unsure), 6))


def _wrong(found: Verdict, n: int, *, us: bool) -> list[str]:
    """Which rules are broken, in words. EU, GB, NI: at most 1 bag in 40 short, none twice; US: none
    beyond the variation."""
    told: list[str] = [] if found.mean_passes else [Sentence("the mean is too low")]
    most = 0 if us else n // 40
    if found.twice_short and not us:
        told.append(Sentence("{twice_short} too short to sell", twice_short=found.twice_short))
    if found.short > most:
        told.append(Sentence("{short} short by more than is allowed", short=found.short))
    return told


def _advice(bags: Sequence[float], nominal: float, light: int, own: Judged | None) -> str:
    """`Fill to 102 g: mean 101.3, 3 of 8 light`."""
    if own is None:
        more = FEWEST - len(bags)
        return (
            Sentence("Weigh {more} more.", more=more)
            if more > 0
            else Sentence("No rule here for bags of this size.")
        )
    mean = Sentence(
        "mean {mean_g:.1f}, {light} of {count} light",
        mean_g=own.found.mean_g,
        light=light,
        count=len(bags),
    )
    if own.well and own.found.mean_g >= own.fill_g:
        spare = own.found.mean_g - own.fill_g
        kept = (
            Sentence("Good: {mean}", mean=mean)
            if spare < 1
            else Sentence("{fill_g} g would do: {mean}", fill_g=own.fill_g, mean=mean)
        )
        return kept if len(bags) >= ENOUGH else Sentence("{kept}; few so far", kept=kept)
    return Sentence("Fill to {fill_g} g: {mean}", fill_g=own.fill_g, mean=mean)


def bags_left(to_pack_mg: int | None, bags: int, mean_mg: int, fill_mg: int) -> tuple[int, int]:
    """Mass left [mg] and whole bags of it, from what there was to pack; never below none.

    >>> bags_left(9_690_000, 90, 102_000, 102_000)
    (510000, 5)
    """
    left = max((to_pack_mg or 0) - bags * mean_mg, 0)
    return left, left // fill_mg if fill_mg > 0 else 0
