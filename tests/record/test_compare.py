"""Two boils by loss line: the differences of the losses are the difference of the yields."""

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from shop.record.compare import PACKED, compare, shares_of
from tests.record.demo_record import demo_record, record_of, weighed
from tests.record.test_balance import GRAMS

BAGS = st.integers(1, 110)


def dusty() -> dict[str, Any]:
    """0.31 kg more dust, for which three bags were not packed."""
    return record_of(weighed({"dust": 636}, 92))


def test_the_loss_that_moved_the_yield_most_stands_first() -> None:
    found = compare(demo_record(), dusty())
    assert found["losses"][0]["id"] == "dust"
    assert found["losses"][0]["mg"] == {"a": 326_000, "b": 636_000, "more": 310_000}
    moved = [abs(line["ppm"]["more"]) for line in found["losses"]]
    assert moved == sorted(moved, reverse=True)


@given(GRAMS, GRAMS, BAGS, BAGS)
@settings(max_examples=40, deadline=None)
def test_what_was_lost_more_is_what_was_packed_less(
    one: dict[str, int], other: dict[str, int], bags: int, more_bags: int
) -> None:
    a, b = record_of(weighed(one, bags)), record_of(weighed(other, more_bags))
    found = compare(a, b)
    assert sum(line["ppm"]["more"] for line in found["losses"]) == -found["yield"]["more"]
    grams = sum(line["mg"]["more"] for line in found["losses"])
    assert grams == a["summary"]["packed"] - b["summary"]["packed"]
    for record in (a, b):
        assert sum(line["ppm"] for line in shares_of(record).values()) == 1_000_000
        assert shares_of(record)[PACKED]["ppm"] == record["yield"]


@given(GRAMS, BAGS)
@settings(max_examples=20, deadline=None)
def test_the_other_way_round_it_is_the_opposite(grams: dict[str, int], bags: int) -> None:
    a, b = demo_record(), record_of(weighed(grams, bags))
    there, back = (
        {line["id"]: line["ppm"]["more"] for line in compare(*pair)["losses"]}
        for pair in ((a, b), (b, a))
    )
    assert there == {ident: -more for ident, more in back.items()}
    assert not any(line["ppm"]["more"] for line in compare(b, b)["losses"])


def test_what_only_one_weighed_is_said_and_its_sugar_is_in_the_rest() -> None:
    bare = record_of([e for e in weighed({}) if e["body"].get("what") != "dust"])
    found = compare(demo_record(), bare)
    assert found["unknown"] == [[], ["Dust and chips"]]
    lines = {line["id"]: line for line in found["losses"]}
    assert lines["dust"]["mg"]["b"] is None
    assert lines["rest"]["mg"]["more"] == 326_000
    assert sum(line["ppm"]["more"] for line in found["losses"]) == -found["yield"]["more"] == 0


def test_a_boil_without_a_log_has_no_losses_to_compare() -> None:
    found = compare(demo_record(), record_of([]))
    assert (found["losses"], found["yield"]["b"]) == ([], None)


def test_stages_numbers_and_what_went_off_stand_beside_each_other() -> None:
    found = compare(demo_record(), record_of([]))
    stages = {line["id"]: line["ms"] for line in found["stages"]}
    # Section 8: lit 10:55, poured 11:27; 130 °C at 11:18.
    assert stages["cook"] == {"a": 32 * 60_000, "b": None, "more": None}
    assert stages["hot"]["a"] == 9 * 60_000
    assert [entry["code"] for entry in found["off"][0]] == ["cook", "gauge"]
    assert all(not entry["both"] for entry in found["off"][0])
    assert all(entry["both"] for entry in compare(demo_record(), demo_record())["off"][0])
