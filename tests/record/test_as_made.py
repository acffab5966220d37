"""A boil as it was made, read from its record: order of the blocks, weights, what went off."""

from typing import Any

import pytest

from shop.demo.scenario import demo_sheet, when
from shop.plan.again import planned_figures
from shop.record.as_made import AsMade, as_made
from shop.record.fold import fold

SHEET = demo_sheet("demo-planned")
STATIONS = {key: step["station"] for key, step in SHEET["steps"].items()}


def event(seq: int, clock: str, **what: Any) -> dict[str, Any]:
    moment = when(clock)
    return {
        **{"device": "table00", "seq": seq, "v": 1, "batch": SHEET["batch"], "by": "tobit"},
        **{"recorded": moment, "happened": moment, "known": "pressed", "within": 0},
        **{"offset": 0, "bound": 0, "hlc": [moment, 0], **what},
    }


def done(seq: int, clock: str, step: str) -> dict[str, Any]:
    return event(seq, clock, kind="step_done", step=step, station=STATIONS[step], body={})


def weighed(seq: int, clock: str, what: str, grams: int) -> dict[str, Any]:
    record = SHEET["records"][what]
    body = {"what": what, "n": grams, "d": 1, "unit": "g"}
    how = {"instrument": record["instrument"], "how": record["how"]}
    return event(seq, clock, kind="reading_taken", station="table", body={**body, **how})


def made(*events: dict[str, Any]) -> AsMade:
    return as_made(SHEET, fold(SHEET, list(events)), planned_figures(SHEET))


def test_blocks_stand_in_the_order_they_were_ticked() -> None:
    assert made().blocks == ("hive", "door", "bees", "field")
    assert not made().moved
    bees_first = made(
        done(1, "11:44:00", "block.bees"),
        done(2, "11:46:00", "block.hive"),
        done(3, "11:48:00", "block.door"),
        done(4, "11:50:00", "block.field"),
    )
    assert bees_first.blocks == ("bees", "hive", "door", "field")
    assert bees_first.moved


def test_a_block_nobody_ticked_stays_behind_the_one_before_it() -> None:
    found = made(done(1, "11:50:00", "block.hive"), done(2, "11:44:00", "block.bees"))
    assert found.blocks == ("bees", "hive", "door", "field") or found.blocks[:1] == ("bees",)
    assert found.blocks.index("door") == found.blocks.index("hive") + 1


def test_only_a_weight_that_went_off_makes_a_part_larger() -> None:
    wanted = (planned_figures(SHEET)["yellow_planned"] or 0) // 1000
    assert made(weighed(1, "11:31:00", "yellow_weighed", wanted + 5)).ratios == {}
    found = made(weighed(1, "11:31:00", "yellow_weighed", round(wanted * 1.1)))
    assert found.ratios["yellow"] == pytest.approx(1_100_000, rel=0.005)
    assert {"Yellow off weight"} <= {what for what, _ in found.off}


def test_the_sample_is_where_the_step_says() -> None:
    assert made().kept is None
    kept = made(weighed(1, "13:50:00", "retain", 100)).kept
    assert kept is not None
    assert (kept.mg, kept.at, kept.by) == (100_000, when("13:50:00"), "tobit")
    assert kept.where == "Two bags and a stub into the box"
