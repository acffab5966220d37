"""What the store must hold after a whole batch, however it was pressed."""

from __future__ import annotations

import json
import sqlite3
from collections import Counter
from contextlib import closing
from typing import Any

from playwright.sync_api import Page

from shop.demo.scenario import demo_sheet
from shop.record.fold import fold
from tests.browsers import wait_true
from tests.play.crew import OWN_LINES
from tests.play.test_readings_replan import FOLD_HERE
from tests.programs import Program

BATCH = "demo-planned"
SHEET = demo_sheet(BATCH)
SENT = "document.querySelector('.stage')?.textContent === 'at the shop'"


def stored(program: Program) -> list[str]:
    """Every line of the boil in the store's file, in the order it came."""
    ask = "select line from shop_event order by id"
    with closing(sqlite3.connect(program.data / "demo" / "kettleside.sqlite3")) as store:
        return [line for (line,) in store.execute(ask) if json.loads(line).get("batch") == BATCH]


def once(events: list[dict[str, Any]]) -> None:
    """No step was finished twice without being reopened, nothing stands in the store twice."""
    assert len({(event["device"], event["seq"]) for event in events}) == len(events)
    kinds = ("step_done", "step_passed")
    ends = [(e["step"], e.get("nth")) for e in events if e["kind"] in kinds]
    undone = [(e["step"], e.get("nth")) for e in events if e["kind"] == "step_undone"]
    twice = Counter(ends) - Counter(undone)
    assert [step for step, times in twice.items() if times != 1] == []


def check(page: Page, program: Program) -> dict[str, Any]:
    """All lines of the phone are in the store, each once; every step has its stamp; the phone's
    fold of them is the shop's. Returns that state."""
    wait_true(page, SENT, 40)
    own = [line for line in page.evaluate(OWN_LINES) if json.loads(line).get("batch") == BATCH]
    lines = stored(program)
    assert Counter(own) - Counter(lines) == Counter()
    events = [json.loads(line) for line in lines]
    once(events)
    state = fold(SHEET, events)
    steps = {step: state["steps"].get(step, {}).get("state") for step in SHEET["steps"]}
    assert [step for step, now in steps.items() if now not in ("done", "passed")] == []
    assert state["phase"] == "closed"
    assert json.loads(page.evaluate(FOLD_HERE, lines)) == json.loads(json.dumps(state))
    return dict(state)
