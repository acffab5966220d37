"""The record as data: whose act each line is, and that no entry is missing from it."""

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from shop.record.fold import fold
from shop.record.report import report
from tests.record.histories import SHEET, history
from tests.record.test_fold import made

# What a whole sheet has beside what the fold needs.
WHOLE = {
    **{**SHEET, "lot": "L", "day": "2026-11-25", "shop": {}, "balance": [], "marks": []},
    "steps": {key: {"heading": "cook", "say": key, **step} for key, step in SHEET["steps"].items()},
    "checks": [{"say": check["id"], **check} for check in SHEET["checks"]],
}


def reported(events: list[dict[str, Any]]) -> dict[str, Any]:
    return report(WHOLE, events, fold(WHOLE, events), {})


def whose(**more: Any) -> tuple[str, str]:
    [step] = reported([made("step_done", {}, step="light", **more)])["steps"]
    return step["by"], step["signed"]


def test_each_line_says_who_and_how_that_is_known() -> None:
    assert whose() == ("Maren", "not signed in")
    assert whose(signed="shop") == ("Maren", "signed in, checked by the shop")
    assert whose(signed="phone")[1] == "signed in on the phone, no network"
    assert whose(by="") == ("nobody named", "not signed in")
    assert whose(**{"for": "tobit"}) == ("Tobit (pressed by Maren)", "not signed in")
    assert whose(by="", **{"for": "tobit"})[0] == "Tobit (pressed by nobody named)"


def test_the_boil_passes_to_whom_it_was_taken_for() -> None:
    taken = {**made("boil_taken", {"from": "maren"}), "for": "tobit"}
    assert fold(SHEET, [taken])["lead"]["by"] == "tobit"


@given(st.integers(0, 10**6), st.integers(0, 60))
@settings(max_examples=100, deadline=None)
def test_every_entry_is_in_the_record_once_struck_ones_too(seed: int, length: int) -> None:
    events = [e for e in history(seed, length) if isinstance(e["body"], dict)]
    lines = reported(events)
    refs = [line["ref"] for name in ("steps", "readings", "acts") for line in lines[name]]
    assert sorted(refs) == sorted(f"{e['device']}:{e['seq']}" for e in events)
