"""A reader that follows the log by its cursor misses nothing, however many write.

A cursor on numbers given out before the commit does: of 300,000 rows by 24 writers a hundred and
thirty-three, by one account. Only PostgreSQL can show it, SQLite has one writer.
"""

import json
import os
import subprocess
import sys

import pytest

from tests.postgres import postgres_server
from tests.programs import ROOT


@pytest.mark.parametrize("events", [16_000, pytest.param(320_000, marks=pytest.mark.long)])
def test_a_tail_reader_against_sixteen_writers_misses_no_row(events: int) -> None:
    with postgres_server() as url:
        done = subprocess.run(
            [sys.executable, "-m", "tests.store.tailing", "16", str(events)],
            cwd=ROOT,
            env={**os.environ, "DATABASE_URL": url, "DJANGO_SETTINGS_MODULE": "shop.settings"},
            capture_output=True,
            text=True,
            check=False,
        )
    assert done.returncode == 0, done.stderr[-2000:]
    found = json.loads(done.stdout)
    assert (found["made"], found["missed"], found["broken"]) == (events, 0, 0)
    assert found["pulls"] > 10
