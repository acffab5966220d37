"""Who did what when: every entry in one stretch of its own person, side by side, none invented."""

import itertools
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from shop.record.timeline import PAUSE_MS, timeline
from tests.lessons.simulated import sheet
from tests.record.demo_record import demo_events, demo_record, record_of


def lanes(record: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    return {lane["who"]: lane["stretches"] for lane in record["timeline"]["lanes"]}


def test_the_invented_day_has_its_six_people_in_the_order_they_came() -> None:
    assert list(lanes(demo_record())) == ["maren", "tobit", "isolde", "greta", "odo", "pim"]


def test_work_that_ran_at_once_names_who_was_where() -> None:
    """Section 8: at 11:27 Maren poured at the kettle while Tobit was at the table."""
    kettle = next(s for s in lanes(demo_record())["maren"] if s["station"] == "kettle")
    table = next(s for s in lanes(demo_record())["tobit"] if s["station"] == "table")
    assert (kettle["beside"], table["beside"]) == (["Tobit, Table"], ["Maren, Kettle"])


def test_the_boil_passed_from_maren_to_greta_and_the_glance_did_not_pass_it() -> None:
    line = demo_record()["timeline"]
    assert [had["name"] for had in line["had"]] == ["Maren", "Greta"]
    assert [(h["from"], h["to"], h["glance"]) for h in line["handovers"]] == [
        ("Maren", "Greta", 1),
        ("Maren", "Greta", 0),
    ]


def test_what_was_struck_or_taken_back_is_not_work() -> None:
    events = demo_events()
    [light] = [e for e in events if e.get("step") == "cook.light"]
    place = {"device": "office1", "seq": 1, "hlc": [2 * 10**12, 0]}
    undone = {**light, **place, "kind": "step_undone"}
    undone["body"] = {"target": f"{light['device']}:{light['seq']}"}
    said = [text for s in lanes(record_of([*events, undone]))["maren"] for text in s["said"]]
    assert "Light the kettle" not in said


@given(st.integers(0, 132), st.integers(0, 40))
@settings(max_examples=25, deadline=None)
def test_every_entry_is_in_one_stretch_and_nobody_is_in_two_places(length: int, late: int) -> None:
    events = demo_events()[:length]
    record = record_of(events)
    placed = [e for e in events if e["kind"] != "batch_opened"]
    stretches = [s for own in lanes(record).values() for s in own]
    assert sum(len(s["said"]) for s in stretches) == len(placed)
    for own in lanes(record).values():
        for before, after in itertools.pairwise(own):
            assert before["to"] <= after["from"]
            if before["station"] == after["station"]:
                assert after["from"] - before["to"] > PAUSE_MS
    names = {lane["name"]: lane["stretches"] for lane in record["timeline"]["lanes"]}
    for name, own in names.items():
        for stretch in own:
            for other in stretch["beside"]:
                who, where = other.split(", ")
                assert where != stretch["name"]
                back = [b for s in names[who] if s["name"] == where for b in s["beside"]]
                assert f"{name}, {stretch['name']}" in back


def test_an_empty_boil_has_no_lanes() -> None:
    assert timeline(sheet(), [], {"handovers": []}, {}) == {
        **{"from": None, "to": None, "lanes": [], "had": [], "handovers": []}
    }
