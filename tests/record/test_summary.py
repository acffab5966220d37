"""The first page of a record, and its temperatures, against the invented day of section 8."""

from typing import Any

from shop.demo.scenario import when
from tests.record.demo_record import demo_events, demo_record, record_of


def test_the_moments_stand_in_their_order_with_the_take_off_where_it_was_read() -> None:
    moments = [(m["id"], m["at"]) for m in demo_record()["summary"]["moments"]]
    assert moments == sorted(moments, key=lambda m: m[1])
    told = dict(moments)
    assert told["lit"] == when("10:55:00")
    assert told["off"] == when("11:26:30")
    assert told["poured"] == when("11:27:00")


def test_the_peak_is_kept_as_read_and_put_right_once() -> None:
    """Read 152.3 on a thermometer that showed 99.1 in boiling water at 996 hPa, which boils at
    99.5 (IF97): 0.4 K too low, so 152.7 true."""
    peak = demo_record()["summary"]["peak"]
    assert peak["read"] == 152_300
    assert round((peak["true"] - peak["read"]) / 1000, 1) == 0.4
    assert round(demo_record()["summary"]["above_130"] / 60_000) == 9


def test_only_the_tested_thermometer_is_corrected() -> None:
    lines = {line["what"]: line for line in demo_record()["temperatures"]}
    assert lines["peak"]["true"] == demo_record()["summary"]["peak"]["true"]
    assert lines["at_130"]["correction"] == lines["peak"]["correction"] > 0
    assert lines["boiling_water"]["correction"] == 0
    assert lines["poured_temperature"]["correction"] == 0
    assert lines["peak"]["instrument_name"] == "Kettle thermometer"
    assert [line["at"] for line in demo_record()["temperatures"]] == sorted(
        line["at"] for line in demo_record()["temperatures"]
    )


def test_another_thermometer_at_the_peak_is_not_corrected_by_this_one_s_test() -> None:
    events = demo_events()
    for event in events:
        if event["body"].get("what") == "peak":
            event["body"] = {**event["body"], "instrument": "spare-thermometer"}
    lines = {line["what"]: line for line in record_of(events)["temperatures"]}
    assert lines["peak"]["correction"] == 0


def signed(events: list[dict[str, Any]]) -> dict[str, tuple[int, ...]]:
    return {
        line["who"]: tuple(line[way] for way in ("shop", "phone", "desk", "unsigned"))
        for line in record_of(events)["summary"]["signed"]
    }


def test_signatures_are_counted_by_how_they_are_known_and_none_is_left_out() -> None:
    events = demo_events()
    events[3]["signed"], events[4]["signed"] = "phone", "desk"
    del events[5]["signed"]
    found = signed(events)
    assert sum(sum(counts) for counts in found.values()) == len(events)
    before = signed(demo_events())["maren"]
    assert [now - then for now, then in zip(found["maren"], before, strict=True)] == [-3, 1, 1, 1]


def test_a_boil_that_was_only_planned_has_a_summary_without_times() -> None:
    found = record_of([])["summary"]
    assert (found["moments"], found["peak"], found["log"]) == ([], None, None)
    assert found["order"]["number"] == "W-0117"


def test_what_went_in_is_named_where_the_sheet_knows_its_materials() -> None:
    made = demo_record()["summary"]["made_of"]
    assert all({"name", "mg", "lots", "weighed"} <= set(row) for row in made["ingredients"])
