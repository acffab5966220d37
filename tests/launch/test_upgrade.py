"""From the first release to this program and back; killed half-way; an old phone goes on."""

from __future__ import annotations

import json
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Playwright

from shop.store.backup import BEFORE_UPGRADE, DATABASE, backups, checked
from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.launch.first_release import DEVICE, ENTRIES, TOKEN, first_floor, first_store, lines_of
from tests.phone.conftest import BATCH, PRESS
from tests.postgres import running_postgres
from tests.programs import ROOT, beside, environment, free_port, manage, running, wait_until

DEMO = {"KETTLESIDE_SHOP": "demo"}
LONG = {"KETTLESIDE_TEST_PATIENCE": "3000"}
MORE = [2_000, pytest.param(1_000_000, marks=pytest.mark.long)]


def tables_of(path: Path) -> set[str]:
    with closing(sqlite3.connect(path)) as store:
        return {name for (name,) in store.execute("SELECT name FROM sqlite_master")}


@pytest.mark.parametrize("more", MORE)
def test_the_first_store_is_upgraded_with_every_entry_and_goes_back(
    tmp_path: Path, more: int
) -> None:
    path = first_store(tmp_path, more)
    before, tables = lines_of(path), tables_of(path)
    assert (checked(path), len(before)) == (ENTRIES + more, ENTRIES + more)
    begun = time.monotonic()
    done = manage(tmp_path, "upgrade", **DEMO, **LONG)
    print(f"{more} entries: upgraded and verified in {time.monotonic() - begun:.0f} s")
    assert done.returncode == 0, done.stderr
    assert f"Whole: 1 shops, {ENTRIES + more} events" in done.stdout
    assert lines_of(path) == before
    assert tables_of(path) > tables
    # The backup it took by itself is the older store, and is not thinned out.
    [saved] = backups(tmp_path / "demo" / "backups")
    assert (saved.path / BEFORE_UPGRADE).read_text().startswith("shop 0002")
    assert str(saved.path) in done.stdout
    assert tables_of(saved.path / DATABASE) == tables
    # Again: nothing to do, and no further backup.
    again = manage(tmp_path, "upgrade", **DEMO, **LONG)
    assert again.stdout.startswith("0 steps done. Whole"), again.stderr
    assert len(backups(tmp_path / "demo" / "backups")) == 1
    # Back, as the older program does it: its own copy of the tables.
    assert lines_of(saved.path / DATABASE) == before


def test_put_back_and_started_again_it_is_upgraded_again(tmp_path: Path) -> None:
    path = first_store(tmp_path, 100)
    before = lines_of(path)
    assert manage(tmp_path, "upgrade", **DEMO).returncode == 0
    [saved] = backups(tmp_path / "demo" / "backups")
    done = manage(tmp_path, "restore", str(saved.path), **DEMO)
    assert done.returncode == 0, done.stderr
    assert lines_of(path) == before


def test_a_store_of_a_newer_program_is_left_alone(tmp_path: Path) -> None:
    path = first_store(tmp_path)
    with closing(sqlite3.connect(path, isolation_level=None)) as store:
        store.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES ('shop', '9999_later', 0)"
        )
    before = tables_of(path)
    refused = manage(tmp_path, "upgrade", **DEMO)
    assert refused.returncode == 1
    assert "newer program (it has 9999_later)" in refused.stderr
    assert tables_of(path) == before


def test_a_store_that_is_not_whole_is_not_upgraded(tmp_path: Path) -> None:
    path = first_store(tmp_path)
    with closing(sqlite3.connect(path, isolation_level=None)) as store:
        store.execute("UPDATE shop_shop SET head = 7")
    before = tables_of(path)
    refused = manage(tmp_path, "upgrade", **DEMO)
    assert refused.returncode == 1
    assert "Nothing was upgraded" in refused.stderr
    assert f"{ENTRIES} events of 7" in refused.stderr
    assert tables_of(path) == before


# A real SIGKILL at the n-th statement that the upgrade sends to the database.
KILLED = """
import os, signal, sys
import django
django.setup()
from django.core.management import call_command
from django.db import connection
left = [int(sys.argv[1])]
def count(execute, sql, params, many, context):
    left[0] -= 1
    if left[0] == 0:
        os.kill(os.getpid(), signal.SIGKILL)
    return execute(sql, params, many, context)
with connection.execute_wrapper(count):
    call_command("migrate", verbosity=0, interactive=False)
print(int(sys.argv[1]) - left[0])
"""


def upgrade_killed(data: Path, at: int, **more: str) -> subprocess.CompletedProcess[str]:
    """An upgrade that is killed at that statement; 0: to its end, its statements counted."""
    return subprocess.run(
        [sys.executable, "-c", KILLED, str(at)],
        cwd=ROOT,
        env={**environment(data), "DJANGO_SETTINGS_MODULE": "shop.settings", **DEMO, **more},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("times", [4, pytest.param(60, marks=pytest.mark.long)])
def test_killed_at_any_statement_the_next_start_goes_on(tmp_path: Path, times: int) -> None:
    fresh = first_store(tmp_path / "fresh", 300)
    before = lines_of(fresh)
    shutil.copytree(tmp_path / "fresh", tmp_path / "counting")
    statements = int(upgrade_killed(tmp_path / "counting", 0).stdout)
    assert statements > 100
    steps_left = set()
    for n in range(1, times + 1):
        data = tmp_path / f"killed-{n}"
        shutil.copytree(tmp_path / "fresh", data)
        dead = upgrade_killed(data, statements * n // (times + 1))
        assert dead.returncode == -signal.SIGKILL
        healed = manage(data, "upgrade", **DEMO)
        assert healed.returncode == 0, healed.stderr
        steps_left.add(healed.stdout.split()[0])
        assert lines_of(data / "demo" / "kettleside.sqlite3") == before
    # It was killed in different steps, not always before the first.
    assert len(steps_left) > 1


FILL = """
from django.core.management import call_command
from tests.store.scene import open_loft
call_command("migrate", verbosity=0)
loft = open_loft("demo")
loft.kettle.presses(300)
loft.kettle.push()
call_command("migrate", "shop", "0004", verbosity=0)
answer = loft.kettle.made
"""
LINES = "from shop.models import Event\nanswer = list(Event.objects.values_list('line', flat=True))"


@pytest.mark.parametrize("times", [2, pytest.param(30, marks=pytest.mark.long)])
def test_on_postgresql_too(tmp_path: Path, times: int) -> None:
    with running_postgres("fsync=off") as database:
        url = {"DATABASE_URL": database.url, "KETTLESIDE_SHOP": "shop"}
        before = set(beside(tmp_path, FILL, **url))
        for n in range(1, times + 1):
            assert upgrade_killed(tmp_path, 40 * n, **url).returncode == -signal.SIGKILL
            healed = manage(tmp_path, "upgrade", **url)
            assert healed.returncode == 0, healed.stderr
            assert "Whole" in healed.stdout
            assert before <= set(beside(tmp_path, LINES, **url))
            manage(tmp_path, "migrate", "shop", "0004", **url)


def test_an_app_of_the_first_release_goes_on_pushing(
    playwright: Playwright, tmp_path: Path
) -> None:
    """From its worker's cache, against this program on the upgraded store; nothing is lost."""
    path, port, behind = first_store(tmp_path), free_port(), free_port()
    old = lines_of(path)
    with (
        running(tmp_path, "demo", port=behind),
        first_floor(port, behind) as floor,
        phone(playwright, tmp_path / "phone") as context,
    ):
        page = context.pages[0]
        page.goto(f"http://localhost:{port}/floor/#add={add_phone(tmp_path)['code']}")
        page.locator(".row", has_text="Isolde").click(timeout=30_000)
        page.goto(f"http://localhost:{port}/floor/#/b/{BATCH}")
        page.locator(".station .finish").wait_for()
        build = page.locator("link[rel=stylesheet]").first.get_attribute("href") or ""
        assert floor.build in build
        wait_true(page, "Boolean(navigator.serviceWorker.controller)")
        # The address is now this program's own; the phone still has the old app, and no network.
        floor.newer = True
        context.set_offline(True)
        page.reload()
        page.locator(".station .finish").wait_for()
        for _ in range(3):
            page.evaluate(PRESS)
            page.wait_for_timeout(1_600)
        context.set_offline(False)
        wait_until(lambda: len(lines_of(path) - old) >= 3, 60)
        assert floor.build in (
            page.locator("link[rel=stylesheet]").first.get_attribute("href") or ""
        )
    made = [json.loads(line) for line in lines_of(path) - old]
    own = sorted(event["seq"] for event in made if event["by"] == "isolde")
    assert own == list(range(1, len(own) + 1))
    assert old <= lines_of(path)
    assert manage(tmp_path, "verify", **DEMO).stdout.startswith("Whole")


def test_a_phone_of_the_first_store_is_still_known(tmp_path: Path) -> None:
    """Its token and its own count: it goes on where it was."""
    first_store(tmp_path, 10)
    assert manage(tmp_path, "upgrade", **DEMO).returncode == 0
    asked = f"""
from shop.store.access import access_token
caller = access_token({TOKEN!r})
answer = [caller.device, caller.entries]
"""
    assert beside(tmp_path, asked) == [DEVICE, 10]
