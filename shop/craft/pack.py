"""Pack: how short a pack may be, what to fill, and what a mean says about a lot.

EU, GB and NI: the average system of Directive 76/211/EEC; US: NIST Handbook 133. Tables marked
'from memory' are to be checked with your authority before use.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from scipy.special import ndtri, stdtrit

from shop.craft.colour import Jurisdiction
from shop.craft.errors import OutOfRange, check_range

DIRECTIVE = "Directive 76/211/EEC, Annex I 2.4"
HANDBOOK = "NIST Handbook 133, Table 2-5 (from memory)"
CONFIDENCE = 0.995
# Up to this nominal mass [g]: tolerable negative error, as a share (S) or in grams (G).
BANDS = [
    (50, "S", 0.09),
    (100, "G", 4.5),
    (200, "S", 0.045),
    (300, "G", 9.0),
    (500, "S", 0.03),
    (1000, "G", 15.0),
    (10_000, "S", 0.015),
]
# Label mass [g] below which this maximum allowable variation [g] holds.
VARIATIONS = [
    (54, 3.6),
    (81, 5.4),
    (117, 7.2),
    (154, 9.0),
    (208, 10.8),
    (263, 12.7),
    (317, 14.5),
    (381, 16.3),
    (426, 18.1),
    (489, 19.9),
]


def tolerable_error(nominal_g: float, jurisdiction: Jurisdiction) -> float:
    """How short one pack may be [g]: tolerable negative error, in the US maximum variation.

    EU, GB, NI 5 g – 10 kg (shares rounded up to 0.1 g; FPackV § 9); US 2–489 g, 10 % below 36 g.

    >>> tolerable_error(125, "EU"), tolerable_error(454, "GB"), tolerable_error(113, "US")
    (5.7, 13.7, 7.2)
    """
    if jurisdiction == "US":
        check_range("label mass", nominal_g, "g", 2, 488.9, HANDBOOK)
        if nominal_g < 36:
            return round(0.1 * nominal_g, 3)
        return next(variation for below, variation in VARIATIONS if nominal_g < below)
    check_range("nominal mass", nominal_g, "g", 5, 10_000, DIRECTIVE)
    kind, size = next((kind, size) for upto, kind, size in BANDS if nominal_g <= upto)
    return size if kind == "G" else math.ceil(round(nominal_g * size * 10, 6)) / 10


def least_mean(nominal_g: float, scatter_g: float, n: int) -> float:
    """Mean [g] that a sample of `n` [2–1000] packs must reach to pass the official test (EU).

    x̄ ≥ Q − t₀.₉₉₅,ₙ₋₁ s/√n: Directive 76/211/EEC, Annex II 2.3, Student's t through scipy.

    >>> round(least_mean(125, 2.0, 30), 2)
    123.99
    """
    check_range("packs", n, "1", 2, 1000, "Directive 76/211/EEC, Annex II")
    check_range("scatter", scatter_g, "g", 0, nominal_g, "Directive 76/211/EEC, Annex II")
    return nominal_g - float(stdtrit(n - 1, CONFIDENCE)) * scatter_g / math.sqrt(n)


def fill_target(nominal_g: float, scatter_g: float, jurisdiction: Jurisdiction) -> float:
    """What to aim at [g] so that packs of this scatter (standard deviation [g]) keep the rules.

    The mean at least nominal; at most 1 pack in 40 (EU, GB, NI) below nominal less the tolerable
    error; none below twice that, taken as 1 in 10 000 (judgement). US: the mean at least the
    label and, by the same judgement, none beyond the variation. Normal scatter.

    >>> [round(fill_target(125, s, "EU"), 1) for s in (0.0, 2.0, 4.0)]
    [125, 125, 128.5]
    """
    check_range("scatter", scatter_g, "g", 0, nominal_g / 2, "normal scatter of filling")
    error = tolerable_error(nominal_g, jurisdiction)
    rare = float(ndtri(0.9999)) * scatter_g
    if jurisdiction == "US":
        return max(nominal_g, nominal_g - error + rare)
    some = float(ndtri(39 / 40)) * scatter_g
    return max(nominal_g, nominal_g - error + some, nominal_g - 2 * error + rare)


def pieces_per_pack(target_g: float, piece_g: float) -> int:
    """Whole pieces [1] that reach `target_g` [g]: rounded up.

    >>> pieces_per_pack(125, 2.374)
    53
    """
    check_range("piece", piece_g, "g", 0.01, target_g, "a pack of whole pieces")
    return math.ceil(round(target_g / piece_g, 9))


class Verdict(NamedTuple):
    """What a sample of packs says: mean and scatter [g], packs short by more than once and twice
    the tolerable error, and whether the mean test passes."""

    mean_g: float
    scatter_g: float
    short: int
    twice_short: int
    mean_passes: bool


def judge(packs_g: Sequence[float], nominal_g: float, jurisdiction: Jurisdiction) -> Verdict:
    """Weighed packs [g] against the average system; at least two.

    Twice the tolerable error is double the rounded one, as most texts print; German law rounds
    the doubled one again, which moves 125 g from 11.4 to 11.3 g.

    >>> judge([101.2, 102.4, 99.9, 102.0], 100, "GB").mean_passes
    True
    """
    if len(packs_g) < 2:
        raise OutOfRange("packs", len(packs_g), "1", 2, math.inf, "a mean and a scatter")
    mean = sum(packs_g) / len(packs_g)
    scatter = math.sqrt(sum((g - mean) ** 2 for g in packs_g) / (len(packs_g) - 1))
    error = tolerable_error(nominal_g, jurisdiction)
    least = nominal_g if jurisdiction == "US" else least_mean(nominal_g, scatter, len(packs_g))
    short = sum(g < nominal_g - error for g in packs_g)
    twice = sum(g < nominal_g - 2 * error for g in packs_g)
    return Verdict(mean, scatter, short, twice, mean >= least)
