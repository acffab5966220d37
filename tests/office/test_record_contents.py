"""What an exported record holds, line by line after 21 CFR 117.305 (a) to (f).

The paragraphs in our own words, from `shared/reference/records_checklist.csv` (R1 to R9), which
names ecfr.gov's text as its source. Good practice here, no claim of compliance.
"""

import csv
import io
import json
from typing import Any

import pytest
from django.test import Client

from shop.store.access import access_batch, access_shop
from shop.store.read import batch_events

KEY = "demo-finished"
HISTORY = ("steps", "readings", "acts")


@pytest.fixture
def record(lead: Client) -> dict[str, Any]:
    answer = lead.get(f"/office/batch/{KEY}/record.json")
    found: dict[str, Any] = json.loads(answer.content)
    return found


@pytest.fixture
def lines(record: dict[str, Any]) -> list[dict[str, Any]]:
    return [line for name in HISTORY for line in record[name]]


def test_a_it_is_the_whole_original_kept_electronically(lines: list[dict[str, Any]]) -> None:
    made = batch_events(access_batch(access_shop("demo").id, KEY))
    assert {line["ref"] for line in lines} == {f"{e['device']}:{e['seq']}" for e in made}


def test_b_actual_values_as_read_and_what_was_seen(record: dict[str, Any]) -> None:
    [peak] = [r for r in record["readings"] if r["what"] == "peak"]
    assert (peak["n"], peak["d"], peak["unit"]) == (1523, 10, "degC")
    assert peak["instrument"] == "kettle-thermometer"
    assert any("Visitor at the door" in note["text"] for note in record["notes"])


def test_c_nothing_that_was_written_is_hidden_by_a_later_entry(
    lead: Client, record: dict[str, Any]
) -> None:
    assert all({"struck_by", "replaced_by"} <= set(r) for name in HISTORY for r in record[name])
    page = lead.get(f"/office/batch/{KEY}/").content.decode()
    assert "Struck and corrected entries stay" in page


def test_d_when_it_was_done_and_when_it_was_written(lines: list[dict[str, Any]]) -> None:
    for line in lines:
        assert line["happened"] and line["recorded"] and line["received"], line
        assert line["known"] in ("pressed", "said", "countdown")


def test_e_enough_to_tell_the_history_of_the_work(record: dict[str, Any]) -> None:
    """Every station's steps, what went off and what was changed, who handed over to whom."""
    assert {step["heading"] for step in record["steps"]} == set(record["headings"])
    assert all(entry["mended"] for entry in record["deviations"] if entry["code"] == "cook")
    assert record["handovers"]
    for handover in record["handovers"]:
        assert handover["from"] and handover["to"] and handover["questions"]


def test_f_where_when_who_and_which_lot(
    record: dict[str, Any], lines: list[dict[str, Any]]
) -> None:
    assert record["shop"]["name"] and record["shop"]["site_address"]
    assert record["day"] == "2026-11-25"
    assert all(line["by"] and line["signed"] for line in lines)
    assert record["title"] and record["lot"] == "L6329A"


def test_the_table_to_take_away_has_every_line_too(
    lead: Client, lines: list[dict[str, Any]]
) -> None:
    text = lead.get(f"/office/batch/{KEY}/record.csv").content.decode()
    rows = list(csv.DictReader(io.StringIO(text)))
    assert {row["ref"] for row in rows} == {line["ref"] for line in lines}
    assert all(row["by"] and row["signed"] and row["happened"] for row in rows)
