"""The tests of store and sync hold on PostgreSQL as they do on SQLite."""

import os
import re
import subprocess
import sys

import pytest

from tests.postgres import postgres_server
from tests.programs import ROOT

FOLDERS = ("tests/store", "tests/sync")
# Left out are those that choose their engine themselves; it is said how many.
AT_LEAST, LEFT_OUT_AT_MOST = 400, 35


def test_the_tests_of_store_and_sync_hold_on_postgresql_too(request: pytest.FixtureRequest) -> None:
    longer = ["--long"] if request.config.getoption("--long") else []
    ours = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST")}
    # What a power cut leaves is asked elsewhere (tests/launch/test_killed_postgres.py).
    with postgres_server("fsync=off", "synchronous_commit=off") as url:
        done = subprocess.run(
            [sys.executable, "-m", "pytest", "-n0", "-p", "no:cacheprovider", *FOLDERS, *longer],
            cwd=ROOT,
            env={**ours, "DATABASE_URL": url},
            capture_output=True,
            text=True,
            check=False,
        )
    assert done.returncode == 0, done.stdout[-8000:] + done.stderr[-2000:]
    assert "engine: postgresql" in done.stdout
    [(passed, left_out)] = re.findall(r"(\d+) passed, (\d+) deselected", done.stdout)
    assert int(passed) >= AT_LEAST
    assert int(left_out) <= LEFT_OUT_AT_MOST
