"""A newer app comes while a boil runs: the old one goes on whole until nothing is hot."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Playwright

from tests.browsers import phone, wait_true
from tests.phone.conftest import BATCH, PRESS, stand
from tests.play.crew import OWN_LINES
from tests.programs import ROOT, beside, free_port, running

GIVE_UP = """
from shop.store import access, append
act = {"batch": "demo-handover", "kind": "batch_given_up", "body": {"mg": 0, "text": "grained"}}
append.office_event(shop_id=access.only_shop().id, by="greta", **act)
answer = "given up"
"""
LOOK = "navigator.serviceWorker.getRegistration('/floor/').then((r) => r.update())"
WAITING = "navigator.serviceWorker.getRegistration('/floor/').then((r) => Boolean(r.waiting))"
PLACES = ["owed", "back", "handover", "cautions", "end", "kettle", "packing"]


@pytest.fixture(scope="module")
def newer(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The program with another word on its first screen: another build."""
    root = tmp_path_factory.mktemp("newer")
    for part in ("shop", "templates", "static", "tests"):
        shutil.copytree(ROOT / part, root / part, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("manage.py", "pyproject.toml"):
        shutil.copy(ROOT / name, root / name)
    boils = root / "static" / "js" / "screens" / "boils.js"
    boils.write_text(boils.read_text("utf-8").replace("Today’s boils", "Boils of today"), "utf-8")
    return root


def test_an_update_under_a_running_boil_waits_and_breaks_nothing(
    playwright: Playwright, newer: Path, tmp_path: Path
) -> None:
    data, port = tmp_path / "data", free_port()
    base = f"http://localhost:{port}/floor/"
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]
        broken: list[str] = []
        page.on("pageerror", lambda error: broken.append(str(error)))
        with running(data, "demo", port=port) as program:
            stand(page, program)
        with running(data, "demo", port=port, root=newer):
            page.evaluate(
                "navigator.serviceWorker.getRegistration('/floor/').then((r) => r.update())"
            )
            wait_true(page, WAITING)
            context.set_offline(True)
            # Every screen of the old app, modules it had not brought yet included.
            for place in PLACES:
                page.goto(f"{base}#/b/demo-handover/{place}")
                page.locator("#app .screen").last.wait_for()
                page.wait_for_timeout(100)
            page.goto(f"{base}#/b/{BATCH}")
            page.evaluate(PRESS)
            wait_true(page, "performance.getEntriesByName('kept').length > 0")
            kept = page.evaluate(OWN_LINES)
            context.set_offline(False)
            page.goto(f"{base}#/phone")
            page.get_by_text("A newer app waits for the last cut").first.wait_for()
            beside(data, GIVE_UP)
            page.goto(f"{base}#/")
            page.get_by_text("Today’s boils").first.wait_for()
            page.get_by_role("button", name="Take the newer app").click(timeout=30_000)
            page.get_by_text("Boils of today").first.wait_for()
            assert page.evaluate(OWN_LINES) == kept
        assert broken == []
