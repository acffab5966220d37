"""Plans held against what came."""

import random

import pytest

from shop.lessons.scores import NOTHING, Score, record_of, scores
from shop.plan.evaluate import evaluate
from tests.lessons.simulated import demo_state, sheet


def by_figure() -> dict[str, Score]:
    return {score.figure: score for score in scores(sheet(), demo_state())}


def test_the_invented_day_against_its_sheet() -> None:
    """35 rods of a plan of 36.7, 95 bags, a log of 10.93 kg: as the crew wrote it down."""
    found = by_figure()
    assert found["rods"].came == 35
    assert found["packs"].came == 95
    assert found["log_mass_forecast"].came == 10_930_000
    assert found["net_mass"].came == 95 * 102_000
    assert found["drawing"].came == 30 * 60_000
    assert found["mean_density"].came == pytest.approx(1_281_600, rel=1e-3)


def test_foretold_is_what_the_sheet_said_before_the_kettle_was_lit() -> None:
    plan = evaluate(sheet()["graph"], NOTHING)
    for score in by_figure().values():
        assert score.foretold == plan[score.figure]
        spread = next(q["spread"] for q in sheet()["graph"] if q["name"] == score.figure)
        assert score.half == pytest.approx(abs(score.foretold) * spread / 1e6, abs=1)


def test_an_error_of_one_is_the_edge_of_the_stated_range() -> None:
    assert Score("f", "F", "mg", 100, 10, 110).error == 1
    assert Score("f", "F", "mg", 100, 10, 85).error == -1.5


def one(error: float) -> list[Score]:
    return [Score("f", "F", "1", 1_000_000, 100_000, round(1_000_000 + 100_000 * error))]


def test_counted_within_and_the_rolling_mean() -> None:
    record = record_of([one(0.5), one(2.0), [], one(1.0)])
    assert (record.kept, record.of) == (2, 3)
    assert record.course == (0.5, 2.0, 1.0)
    assert record.rolling == pytest.approx((0.5, 1.25, 3.5 / 3))
    assert record.trend is None


def test_figures_as_unsure_as_stated_come_within_95_of_100() -> None:
    """Half a range is two standard deviations: 1.96 of them hold 95 %, two 95.4 %."""
    chance = random.Random(3)
    record = record_of([one(chance.gauss(0, 0.5)) for _ in range(4000)])
    assert record.kept / record.of == pytest.approx(0.9545, abs=0.01)


def test_getting_better_is_said_only_where_it_is_clear() -> None:
    chance = random.Random(4)
    worse = [one(chance.gauss(2, 0.2)) for _ in range(10)]
    better = [one(chance.gauss(0.5, 0.2)) for _ in range(10)]
    change, sd = record_of(worse + better).trend or (0, 0)
    assert change == pytest.approx(-1.5, abs=0.2)
    assert abs(change) > 2 * sd
    change, sd = record_of(better + better).trend or (9, 0)
    assert abs(change) <= 2 * sd
    assert record_of(worse[:5] + better).trend is None
