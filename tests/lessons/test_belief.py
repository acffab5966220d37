"""The estimate held against published examples, a reference library and its own laws."""

import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import multivariate_normal, norm

from shop.lessons.belief import DRIFT, SCATTER, STILL, Belief, Seen, believe, grid

NONE = (1e-12,)
# Annual flow of the Nile at Aswan, 1871 to 1970, 10⁸ m³ (Cobb 1978): the worked example of Durbin
# and Koopman, Time Series Analysis by State Space Methods, chapter 2.
NILE = """1120 1160 963 1210 1160 1160 813 1230 1370 1140 995 935 1110 994 1020 960 1180 799 958
1140 1100 1210 1150 1250 1260 1220 1030 1100 774 840 874 694 940 833 701 916 692 1020 1050 969 831
726 456 824 702 1120 1100 832 764 821 768 845 864 862 698 845 744 796 1040 759 781 865 845 944 984
897 822 1010 771 676 649 846 812 742 801 1040 860 874 848 890 744 749 838 1050 918 986 797 923 975
815 1020 906 901 1170 912 746 919 718 714 740"""


def test_one_observation_as_in_a_published_worked_example() -> None:
    """Heights: prior N(69, 3²), one man of 71 inches, σ 4: posterior 69.72 ± 2.4.

    From 'Normal – Normal and height distribution', thoughtfulexaminations.com.
    """
    held = believe(69.0, 3.0, (Seen(0, 71.0, 4.0),), 1, scatter=NONE, drift=STILL).now
    assert (round(held.value, 2), round(held.sd, 1)) == (69.72, 2.4)
    assert held.low == pytest.approx(norm.ppf(0.025, held.value, held.sd), abs=1e-6)
    assert held.high == pytest.approx(norm.ppf(0.975, held.value, held.sd), abs=1e-6)


def test_the_level_of_the_nile_as_published() -> None:
    """σ² 15099, drift² 1469.1, prior N(0, 10⁷) as there (the book's section 2.2).

    Its last filtered level 798.37 and variance 4032.2 are from memory; the gain they come from,
    0.267, follows from the two variances by its equation 2.15.
    """
    wide = math.sqrt(1e7)
    flows = tuple(Seen(i, float(f), math.sqrt(15_099)) for i, f in enumerate(NILE.split()))
    drift = ((math.sqrt(1469.1) / wide, 1.0),)
    belief = believe(0.0, wide, flows, 100, scatter=NONE, drift=drift)
    assert belief.now.value == pytest.approx(798.37, abs=0.005)
    assert belief.now.sd**2 == pytest.approx(4032.2, abs=0.1)
    q = 1469.1 / 15_099
    ahead = (q + math.sqrt(q * q + 4 * q)) / 2
    assert belief.now.sd**2 == pytest.approx(15_099 * ahead / (1 + ahead), rel=1e-6)


def some_boils(seed: int, number: int = 9) -> tuple[Seen, ...]:
    """Observations of some of the boils, each with its own doubts."""
    chance = random.Random(seed)
    return tuple(
        Seen(i, chance.gauss(11, 1), chance.uniform(0.1, 1), chance.uniform(0, 0.6))
        for i in range(number)
        if chance.random() < 0.8
    )


@pytest.mark.parametrize("seed", range(6))
def test_the_same_as_conditioning_one_big_normal_in_scipy(seed: int) -> None:
    """All boils at once, by covariance and scipy's density, for every scatter and drift."""
    seen, boils, prior, sd = some_boils(seed), 9, 10.0, 1.5
    over, t = grid(sd, SCATTER, DRIFT), np.array([s.boil for s in seen], dtype=float)
    y, own, c = (np.array([getattr(s, name) for s in seen]) for name in ("value", "sd", "shared"))
    log, means, second = [], [], []
    for tau, q, weight in zip(over.scatter, over.drift, over.weight, strict=True):
        walk = sd**2 + q**2 * np.minimum.outer(t, t)
        wide = walk + np.outer(c, c) + np.diag(own**2 + tau**2)
        to_now = sd**2 + q**2 * np.minimum(t, boils - 1)
        gain = np.linalg.solve(wide, to_now)
        log.append(weight + multivariate_normal.logpdf(y, np.full(len(y), prior), wide))
        means.append(prior + gain @ (y - prior))
        second.append(sd**2 + q**2 * (boils - 1) - gain @ to_now)
    chances = np.exp(np.array(log) - max(log))
    chances /= chances.sum()
    mean = float(chances @ np.array(means))
    spread = float(chances @ (np.array(second) + (np.array(means) - mean) ** 2))
    now = believe(prior, sd, seen, boils).now
    assert now.value == pytest.approx(mean, rel=1e-9)
    assert now.sd == pytest.approx(math.sqrt(spread), rel=1e-7)


def close(one: Belief, other: Belief) -> None:
    for name in ("value", "sd", "low", "high"):
        assert getattr(one.now, name) == pytest.approx(getattr(other.now, name), abs=1e-6)


@given(st.integers(0, 1000), st.randoms(use_true_random=False))
@settings(max_examples=30, deadline=None)
def test_the_order_of_boils_does_not_matter_where_nothing_drifts(
    seed: int, chance: random.Random
) -> None:
    seen = some_boils(seed)
    places = [s.boil for s in seen]
    chance.shuffle(places)
    moved = tuple(
        Seen(place, s.value, s.sd, s.shared) for place, s in zip(places, seen, strict=True)
    )
    close(believe(10.0, 1.0, seen, 9, drift=STILL), believe(10.0, 1.0, moved, 9, drift=STILL))


def test_the_order_matters_where_it_drifts() -> None:
    up = tuple(Seen(i, 10 + i / 2, 0.1) for i in range(9))
    down = tuple(Seen(8 - s.boil, s.value, s.sd) for s in up)
    assert believe(10.0, 1.0, up, 9).now.value > believe(10.0, 1.0, down, 9).now.value + 2


@given(st.integers(0, 1000), st.floats(-1e4, 1e4))
@settings(max_examples=30, deadline=None)
def test_a_boil_that_says_nothing_never_narrows(seed: int, value: float) -> None:
    seen = some_boils(seed)
    before = believe(10.0, 1.0, seen, 9).now
    silent = believe(10.0, 1.0, seen, 10).now
    vague = believe(10.0, 1.0, (*seen, Seen(9, value, 1e9)), 10).now
    for after in (silent, vague):
        assert after.sd >= before.sd - 1e-9
        assert after.high - after.low >= before.high - before.low - 1e-6
        assert after.value == pytest.approx(before.value, abs=1e-3)


def test_without_boils_what_was_held_stands() -> None:
    held = believe(10.0, 2.0, (), 0).now
    assert held.value == pytest.approx(10)
    assert held.high == pytest.approx(10 + 2 * norm.ppf(0.975), abs=1e-6)


def test_what_all_boils_get_wrong_together_never_averages_out() -> None:
    """A thousand boils that may all be 0.5 off leave the number at least that far in doubt.

    Of a prior of 1 and a shared error of 0.5 the doubt that stays is 1 / √(1 + 1/0.25) = 0.447.
    """
    seen = tuple(Seen(i, 11.0, 0.1, 0.5) for i in range(1000))
    held = believe(10.0, 1.0, seen, 1000, scatter=(0.05,), drift=STILL).now
    assert held.sd == pytest.approx(math.sqrt(1 / (1 + 1 / 0.25)), rel=1e-3)
    assert held.value == pytest.approx(10 + 1 / 1.25, rel=1e-3)
