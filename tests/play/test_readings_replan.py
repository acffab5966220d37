"""Readings that are off, recorded offline, re-plan the steps below exactly as Python does."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Playwright

from shop.demo.scenario import demo_sheet
from shop.record.fold import fold
from shop.record.words import say
from tests.bench.shop import add_phone
from tests.play.conftest import Loft, phone
from tests.play.crew import CrewPhone
from tests.programs import manage

FOLD_HERE = """async (lines) => {
  const js = document.querySelector('script[type=module]').src.replace(/boot[.]js$/, '');
  const { fold } = await import(`${js}record/fold.js`);
  const sheets = await new Promise((done) => {
    indexedDB.open('kettleside').onsuccess = ({ target: { result: db } }) => {
      const all = db.transaction('sheets').objectStore('sheets').getAll();
      all.onsuccess = () => { db.close(); done(all.result.map((text) => JSON.parse(text))); };
    };
  });
  const sheet = sheets.find(({ batch }) => batch === 'demo-planned');
  return JSON.stringify(fold(sheet, lines.map((line) => JSON.parse(line))));
}"""
PEAK = {"Peak": ("152.3", "°C")}
BROWN = {"Brown portion": ("470", "g")}
RE_PLANNED = [
    *("overcook", "moisture", "base_mass", "brown_reach", "log_length", "log_mass_forecast"),
    *("log_diameter", "length_ratio", "rod_metres", "rods", "pieces", "packs", "close_by"),
]
SHEET = demo_sheet("demo-planned")


def boiled(crew: CrewPhone, readings: dict[str, tuple[str, str]]) -> None:
    """The thermometer is tested; everything to the pour is passed; the peak is as given."""
    crew.go("setup")
    crew.pass_until("Test thermometer")
    crew.finish({"Boiling water": ("99.1", "°C")})
    crew.finish_until("Weigh sugar", {"Air pressure": ("996", "hPa")})
    crew.go("kettle")
    crew.pass_until("Poured")
    crew.pour(readings)


def portioned(crew: CrewPhone, readings: dict[str, tuple[str, str]]) -> None:
    crew.go("table")
    crew.pass_until("Brown")
    crew.finish(readings)


def weighed(crew: CrewPhone, density: str) -> None:
    crew.go("hook")
    crew.pass_until("Weigh rod")
    crew.finish({"White density, trial rod": (density, "kg/m³")})


@pytest.mark.parametrize(
    ("peak", "brown", "density"),
    [
        (PEAK, {}, ""),
        ({}, BROWN, ""),
        ({}, {}, "1200"),
        (PEAK, BROWN, "1300"),
    ],
    ids=["peak", "brown", "light white", "all together, white heavy"],
)
def test_a_reading_that_is_off_changes_what_follows_as_python_says(
    playwright: Playwright,
    loft: Loft,
    home: Path,
    peak: dict[str, tuple[str, str]],
    brown: dict[str, tuple[str, str]],
    density: str,
) -> None:
    with loft.open() as program:
        crew = phone(playwright, loft, home, "alone")
        crew.join(add_phone(program.data)["code"], "Maren")
        crew.page.locator(".row", has_text="L6329C").wait_for()
        crew.network(False)
        boiled(crew, peak)
        portioned(crew, brown)
        if density:
            weighed(crew, density)
        lines = crew.lines()
        here: dict[str, Any] = json.loads(crew.page.evaluate(FOLD_HERE, lines))
        there = fold(SHEET, [json.loads(line) for line in lines])
        assert here == json.loads(json.dumps(there))
        changed = changes(there["figures"])
        assert changed >= {"peak": {"base_mass"}, "brown": {"log_length"}}.get(
            "peak" if peak else "brown" if brown else "", {"rod_metres"}
        )
        check_the_board_says_so(crew, there["figures"])
        crew.context.close()


def changes(figures: dict[str, int | None]) -> set[str]:
    """Figures that are not as they were planned."""
    planned = fold(SHEET, [])["figures"]
    return {name for name in RE_PLANNED if figures[name] != planned[name]}


def check_the_board_says_so(crew: CrewPhone, figures: dict[str, int | None]) -> None:
    """The log's step shows the mass as it now must be."""
    crew.go("block")
    crew.pass_until("Measure log")
    wanted = say(figures["log_mass_forecast"], "mg").split("\u202f")[0]
    assert wanted in crew.page.locator(".station .board").inner_text()


@pytest.mark.parametrize("late_first", [True, False])
def test_a_reading_entered_late_takes_its_right_place_in_either_order_of_syncing(
    playwright: Playwright, loft: Loft, home: Path, late_first: bool
) -> None:
    with loft.open() as program:
        one, two = (phone(playwright, loft, home, name) for name in ("one", "two"))
        for crew, name in ((one, "Maren"), (two, "Tobit")):
            crew.join(add_phone(program.data)["code"], name)
            crew.page.locator(".row", has_text="L6329C").wait_for()
            crew.network(False)
            crew.go("setup")
            crew.pass_until("Oil table")
        two.finish({"Table": ("29", "°C")})
        one.finish({"Table": ("31", "°C")}, minutes_ago=7)
        for crew in (one, two) if late_first else (two, one):
            crew.network(True)
            crew.wait_sent()
        for crew in (one, two):
            crew.context.close()
    record = json.loads(manage(loft.data, "record", "demo-planned", "--json").stdout)
    read = [r for r in record["readings"] if r["what"] == "table_temperature"]
    assert sorted((r["happened"], r["n"]) for r in read)[0][1] == 31
    late = next(r for r in read if r["n"] == 31)
    assert abs(late["recorded"] - late["happened"] - 7 * 60_000) < 60_000
    events = [json.loads(line) for line in loft.lines() if '"demo-planned"' in line]
    assert fold(SHEET, events)["latest"]["table_temperature"] == 29_000
