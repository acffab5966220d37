"""Bags weighed while packing, against the published tables and worked examples."""

import csv
from pathlib import Path
from random import Random
from statistics import mean, stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.craft.pack import least_mean, tolerable_error
from shop.labels.bags import bags_left, weighed

HERE = Path(__file__).parent


def rows(name: str) -> list[dict[str, str]]:
    return [*csv.DictReader((HERE / name).read_text("utf-8").splitlines())]


@pytest.mark.parametrize("row", rows("tne_eu_examples.csv"), ids=lambda row: row["Qn_g"])
@pytest.mark.parametrize("where", ["EU", "GB", "NI"])
def test_the_tolerable_error_is_that_of_the_directive(row: dict[str, str], where: str) -> None:
    """Directive 76/211/EEC, Annex I 2.4; shares rounded up to 0.1 g."""
    nominal = float(row["Qn_g"])
    found = next(j for j in weighed([1, 2], int(nominal * 1000), where).judged if j.place == where)
    assert nominal - found.short_below_g == pytest.approx(float(row["TNE_g_rounded_up_0.1"]))
    assert found.short_below_g == pytest.approx(float(row["limit_T1_g"]))
    # German law would round the doubled error again; here it is twice the rounded one.
    assert found.twice_below_g == pytest.approx(nominal - 2 * float(row["TNE_g_rounded_up_0.1"]))


@pytest.mark.parametrize("row", rows("mav_us.csv"), ids=lambda row: row["label_over_g"])
def test_the_us_variation_is_that_of_handbook_133(row: dict[str, str]) -> None:
    """NIST Handbook 133, Table 2-5: two rows checked, the others from memory."""
    low, high = float(row["label_over_g"]), float(row["label_up_to_g"])
    for label in (max(low, 5), high - 0.1):
        wanted = 0.1 * label if row["MAV_g"].startswith("10%") else float(row["MAV_g"])
        assert tolerable_error(label, "US") == pytest.approx(wanted, abs=1e-3)


@pytest.mark.parametrize("row", rows("average_test_factor.csv"), ids=lambda row: row["n"])
def test_the_mean_test_is_that_of_annex_ii(row: dict[str, str]) -> None:
    """Directive 76/211/EEC, Annex II 2.3: t of 0.995 over the root of n, to four places."""
    n, factor = int(row["n"]), float(row["t_0.995_over_sqrt_n"])
    assert least_mean(100, 1.0, n) == pytest.approx(100 - factor, abs=6e-5)


def test_eight_bags_with_three_light_say_what_to_fill() -> None:
    bags = [101_000, 99_500, 103_000, 99_000, 102_500, 99_800, 103_000, 102_600]
    found = weighed(bags, 100_000, "GB")
    assert found.light == 3
    assert found.advice == "Fill to 102 g: mean 101.3, 3 of 8 light"
    # Two standard errors: 2 · 1.7 g / √8 = 1.2 g over the label, up to whole grams.
    assert found.judged[0].fill_g == 102
    more = weighed([mg + 800 for mg in bags], 100_000, "GB")
    assert more.advice == "Good: mean 102.1, 1 of 8 light"
    much = weighed([mg + 3000 for mg in bags], 100_000, "GB")
    assert much.advice == "102 g would do: mean 104.3, 0 of 8 light"


def test_a_bag_too_short_to_sell_is_told_and_more_is_filled() -> None:
    # 100 g: short below 95.5 g, too short below 91 g (Directive 76/211/EEC).
    found = weighed([90_900, 105_000, 104_000, 103_000, 106_000], 100_000, "EU")
    own = found.judged[0]
    assert (own.found.short, own.found.twice_short) == (1, 1)
    assert "1 too short to sell" in own.words
    assert found.advice.startswith("Fill to 1")
    just = weighed([91_000, 105_000, 104_000, 103_000, 106_000], 100_000, "EU").judged[0]
    assert (just.found.short, just.found.twice_short) == (1, 0)


def test_too_few_bags_say_nothing_of_scatter() -> None:
    assert weighed([], 100_000, "GB").advice == "Weigh 2 more."
    assert weighed([100_000], 100_000, "GB").judged == ()
    assert weighed([1_000, 1_000], 1_000, "GB").advice == "No rule here for bags of this size."


BAGS = st.lists(st.integers(80_000, 120_000), min_size=2, max_size=40)


@given(BAGS, st.randoms(use_true_random=False))
def test_mean_and_scatter_are_the_usual_ones_and_order_never_matters(
    bags: list[int], chance: Random
) -> None:
    found = weighed(bags, 100_000, "EU").judged[0].found
    grams = [mg / 1000 for mg in bags]
    assert found.mean_g == pytest.approx(mean(grams))
    assert found.scatter_g == pytest.approx(stdev(grams), abs=1e-6)
    shuffled = [*bags]
    chance.shuffle(shuffled)
    assert weighed(shuffled, 100_000, "EU").judged[0].words == found_words(bags)


def found_words(bags: list[int]) -> str:
    return weighed(bags, 100_000, "EU").judged[0].words


@given(BAGS, st.integers(1, 5_000))
def test_heavier_bags_are_never_judged_worse(bags: list[int], more: int) -> None:
    before = weighed(bags, 100_000, "EU").judged[0]
    after = weighed([mg + more for mg in bags], 100_000, "EU").judged[0]
    assert after.found.short <= before.found.short
    assert after.found.twice_short <= before.found.twice_short
    assert after.found.mean_passes >= before.found.mean_passes


@given(st.integers(0, 12_000_000), st.integers(0, 200), st.integers(1, 500_000))
def test_bags_left_are_never_more_than_the_mass_left(to_pack: int, bags: int, fill: int) -> None:
    mass, count = bags_left(to_pack, bags, fill, fill)
    assert 0 <= mass <= to_pack
    assert count * fill <= mass < (count + 1) * fill
