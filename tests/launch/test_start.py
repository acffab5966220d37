"""Which store a command works on is settled before the settings are read."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from shop.launch.start import choose_store
from tests.programs import ROOT, environment, manage


@pytest.mark.parametrize(
    ("arguments", "store"),
    [
        (["demo", "--lan"], "demo"),
        (["record", "demo-finished", "--json"], "demo"),
        (["record", "2026-11-25-a"], "shop"),
        (["serve"], "shop"),
        (["record", "democracy"], "shop"),
    ],
)
def test_a_command_that_names_the_demo_works_on_the_demo(
    arguments: list[str], store: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("KETTLESIDE_SHOP", "shop")
    choose_store(arguments)
    assert os.environ["KETTLESIDE_SHOP"] == store


def test_an_unknown_command_is_named(tmp_path: Path) -> None:
    ended = manage(tmp_path, "boil")
    assert ended.returncode == 1
    assert "Unknown command: 'boil'" in ended.stderr


def test_tests_reach_pytest_with_data_of_their_own(tmp_path: Path) -> None:
    """Through the real command, on a test that prints where its data would go."""
    asking = tmp_path / "test_asking.py"
    asking.write_text("import os\ndef test_it():\n    print(os.environ['KETTLESIDE_DATA'])\n")
    command = [sys.executable, str(ROOT / "manage.py"), "test", str(asking), "-n0", "-s", "-q"]
    ended = subprocess.run(
        command, env=environment(tmp_path), capture_output=True, text=True, check=False
    )
    assert ended.returncode == 0, ended.stdout + ended.stderr
    assert "kettleside-test-" in ended.stdout
    assert str(tmp_path) not in ended.stdout.splitlines()[0]
