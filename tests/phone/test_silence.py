"""A phone that is missed while its boil is hot: asked about on the others until one stands in."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright

from tests.browsers import phone, wait_true
from tests.phone.conftest import stand
from tests.phone.dying import dying_phone, kill
from tests.programs import Program, beside, running, wait_until

NEXT = "demo-planned"
STAGE = "document.querySelector('.stage')?.textContent"
ASKED = "[...document.querySelectorAll('.ask-bar')].some((b) => b.textContent.includes('{}'))"
# How the flame of the planned boil comes to be on, without going through its set-up.
LIGHT = """
from shop.store import access, append
for step in ("cook.light", "cook.at-140"):
    append.office_event(shop_id=access.only_shop().id, batch="demo-planned", kind="step_done",
                        body={}, by="maren", station="kettle", step=step)
answer = "lit"
"""
PLACES = """
from shop.store import access, phones
found = phones.phones(access.only_shop().id)
answer = [[p.report.get("station"), p.report.get("batch")] for p in found]
"""
ANSWERS = """
import json
from shop.models import Event
answer = [json.loads(line) for line in Event.objects.values_list("line", flat=True)
          if '"stood_in"' in line]
"""
# The rule itself, in the browser that has it: `[name, sheet, state, known]` → what it asks.
RULE = """async ([name, sheet, state, known]) => {
  const boot = document.querySelector('script[type=module]').src;
  const rules = await import(boot.replace('boot.js', 'record/silence.js'));
  return rules[name](sheet, state, known).map(({ station, since }) => [station, since]);
}"""


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    with running(tmp_path_factory.mktemp("silence") / "data", "demo") as started:
        yield started


@pytest.fixture(scope="module")
def mate(
    playwright: Playwright, program: Program, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[BrowserContext]:
    with phone(playwright, tmp_path_factory.mktemp("mate") / "phone") as context:
        stand(context.pages[0], program, f"{NEXT}/table")
        yield context


def test_a_silent_phone_at_the_flame_is_asked_about_until_one_stands_in(
    playwright: Playwright, program: Program, mate: BrowserContext, tmp_path: Path
) -> None:
    page = mate.pages[0]
    with phone(playwright, tmp_path / "roller") as context:
        stand(context.pages[0], program)
        wait_true(context.pages[0], f"{STAGE} === 'at the shop'")
        # Before the shop knows that it stood there nobody can miss it.
        wait_until(lambda: ["roller", "demo-handover"] in beside(program.data, PLACES), 30)
    with ExitStack() as stack:
        places = ("kettle", "hook", "block")
        phones = {n: stack.enter_context(dying_phone(playwright, tmp_path / n)) for n in places}
        for place, context in phones.items():
            stand(context.pages[0], program, f"{NEXT}/{place}")
        assert beside(program.data, LIGHT) == "lit"
        phones["kettle"].pages[0].locator(".hot").wait_for(timeout=30_000)
        block = phones["block"].pages[0]
        page.wait_for_timeout(3000)
        kill(tmp_path / "kettle")
        kill(tmp_path / "hook")
        # The other boil's only phone was closed before: it is asked about here.
        page.locator(".ask-bar", has_text="Roller: who is there?").wait_for(timeout=120_000)
        for each in (page, block):
            wait_true(each, ASKED.format("Kettle’s flame? Its phone is silent"), 75)
        bar = page.locator(".ask-bar", has_text="Kettle’s flame?")
        assert "Maren pressed there last" in bar.inner_text()
        bar.get_by_text("I watch it").click()
        page.locator(".hot").wait_for()
        assert page.url.endswith(f"#/b/{NEXT}/kettle")
        # It answered for all; the others are asked about the next that is silent.
        wait_true(block, "!" + ASKED.format("Kettle"))
        [answer] = beside(program.data, ANSWERS)
        assert (answer["station"], answer["by"], answer["batch"]) == ("kettle", "isolde", NEXT)
        wait_true(block, ASKED.format("Hook: who is there?"), 60)
        nothing_over_the_hot_scene(page)
        no_news(phones["block"])


def nothing_over_the_hot_scene(page: Page) -> None:
    """The phone at the flame asks nothing until it is poured; then what the others are asked."""
    assert page.locator(".hot").count() == 1
    assert page.locator(".bar").count() == 0
    page.locator(".hot").get_by_role("button", name="Poured").tap()
    page.locator(".hot").wait_for(state="detached")
    page.locator(".ask-bar", has_text="Hook: who is there?").wait_for()


def no_news(block: BrowserContext) -> None:
    """A phone that is cut off itself can't know, and asks in other words; one answer is enough."""
    page = block.pages[0]
    block.set_offline(True)
    page.wait_for_timeout(7000)
    # A clock that somebody sets meanwhile makes the silence neither longer nor shorter.
    page.evaluate("(() => { const was = Date.now; Date.now = () => was() + 3600000; })()")
    wait_true(page, ASKED.format("No news here for 30 s"), 60)
    page.locator(".ask-bar", has_text="No news").get_by_text("It is watched").click()
    wait_true(page, "!" + ASKED.format("No news"))
    assert page.url.endswith(f"#/b/{NEXT}/block")


SHEET: dict[str, Any] = {
    "batch": "a",
    "stations": [{"id": name, "steps": [f"{name}.on"]} for name in ("table", "kettle", "block")],
    "steps": {f"{n}.on": {"station": n, "after": []} for n in ("table", "kettle", "block")},
    "hot_scene": {"from": "", "to": "kettle.on"},
}
LIT: dict[str, Any] = {
    **{"phase": "open", "moments": {"lit": 1}, "steps": {}, "dropped": [], "figures": {}},
    **{"stood_in": {}, "at_stations": {}},
}


def at(station: str, heard: int | None, batch: str = "a") -> dict[str, Any]:
    return {"device": f"{station}{heard}", "station": station, "batch": batch, "heard": heard}


def asked(mate: BrowserContext, name: str, state: dict[str, Any], **known: Any) -> Any:
    whole = {"phones": [], "own": "", "now": 1_030, "limit": 30, **known}
    return mate.pages[0].evaluate(RULE, [name, SHEET, state, whole])


def test_a_station_is_asked_about_by_its_newest_phone_and_answered_since(
    mate: BrowserContext,
) -> None:
    def silent(*phones: dict[str, Any], own: str = "", **state: Any) -> Any:
        return asked(mate, "silent", {**LIT, **state}, phones=list(phones), own=own)

    kettle = at("kettle", 999)
    assert silent(at("kettle", 1_000)) == []
    assert silent(kettle) == [["kettle", 999]]
    assert silent(kettle, at("kettle", 1_020)) == []
    assert silent(at("kettle", None), at("kettle", 900, "b"), at("", 900)) == []
    assert silent(kettle, own="kettle") == []
    # The flame comes first; when it has been poured the kettle has nothing left.
    assert silent(at("table", 900), kettle) == [["kettle", 999], ["table", 900]]
    poured = {"kettle.on": {"state": "done"}}
    assert silent(at("table", 900), kettle, steps=poured) == [["table", 900]]
    # Somebody stood in since; heard again and silent anew, it is asked again.
    stood = {"kettle": {"by": "tobit", "at": 999}}
    assert silent(kettle, stood_in=stood) == []
    assert silent(at("kettle", 1_000 - 1), stood_in={"kettle": {"by": "x", "at": 998}}) != []
    assert silent(kettle, stood_in={"table": stood["kettle"]}) == [["kettle", 999]]


def test_a_phone_that_is_cut_off_asks_once_about_the_flame_or_where_others_worked_last(
    mate: BrowserContext,
) -> None:
    def unknown(since: int, own: str = "", **state: Any) -> Any:
        known = {"phones": [at("table", 5)], "own": own, "since": since}
        return asked(mate, "unknown", {**LIT, **state}, **known)

    worked = {"kettle": {"by": "maren", "at": 10}, "block": {"by": "greta", "at": 20}}
    poured = {"kettle.on": {"state": "done"}}
    assert unknown(1_000, at_stations=worked) == []
    assert unknown(999, at_stations=worked) == [["kettle", 999]]
    assert unknown(999, at_stations=worked, steps=poured) == [["block", 999]]
    assert unknown(999, own="kettle", at_stations=worked) == [["block", 999]]
    assert unknown(999) == [["table", 999]]
    assert unknown(999, own="table") == []
    assert unknown(999, stood_in={"table": {"by": "pim", "at": 1_000}}) == []
