"""Imports point one way: the contracts hold, and each is seen to fail on a planted import."""

from __future__ import annotations

import re
import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest

from shop.launch.checking import LINTERS, run_linter
from tests.programs import ROOT

ARROWS = next(linter for linter in LINTERS if linter[0] == "lint-imports")
ROOMS = "Rooms import one way only"
TABLES = "Tables import no other room"
COMPUTATION = "Computation never sees Django or the machine it runs on"
UNITS = "The record knows no units library"

PLANTS = (
    (ROOMS, "store", "import shop.screens"),
    (ROOMS, "store", "import shop.demo"),
    (ROOMS, "screens", "import shop.sync"),
    (ROOMS, "sync", "import shop.management"),
    (ROOMS, "demo", "import shop.urls"),
    (ROOMS, "record", "import shop.models"),
    (ROOMS, "craft", "import shop.plan"),
    (ROOMS, "plan", "import shop.record"),
    (ROOMS, "launch", "import shop.settings"),
    (ROOMS, "launch", "import shop.store"),
    (ROOMS, "attic", "import shop.craft"),
    (TABLES, "models", "import shop.plan"),
    (TABLES, "models", "import shop.launch"),
    (ROOMS, "labels", "import shop.store"),
    (COMPUTATION, "craft", "import django"),
    (COMPUTATION, "labels", "import django"),
    (COMPUTATION, "plan", "from django.utils import timezone"),
    (COMPUTATION, "record", "import shop.settings"),
    (COMPUTATION, "craft", "import shop.launch"),
    (UNITS, "record", "import pint"),
)


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    """The program's Python, to plant in."""
    kept_out = shutil.ignore_patterns("__pycache__")
    shutil.copytree(ROOT / "shop", tmp_path / "shop", ignore=kept_out)
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def broken(tree: Path) -> set[str]:
    """The names of the broken contracts."""
    said = run_linter(tree, ARROWS, capture=True)
    found = set(re.findall(r"^(.+) BROKEN\b", said.stdout, re.MULTILINE))
    kept = set(re.findall(r"^(.+) KEPT\b", said.stdout, re.MULTILINE))
    assert found | kept == {ROOMS, TABLES, COMPUTATION, UNITS}, said.stdout + said.stderr
    assert bool(said.returncode) == bool(found)
    return found


def test_the_program_keeps_every_contract(tree: Path) -> None:
    assert broken(tree) == set()


@pytest.mark.parametrize(("contract", "room", "line"), PLANTS)
def test_a_planted_import_breaks_its_contract(
    contract: str, room: str, line: str, tree: Path
) -> None:
    (tree / "shop" / room).mkdir(exist_ok=True)
    (tree / "shop" / room / "__init__.py").touch()
    (tree / "shop" / room / "planted.py").write_text(f"{line}\n")
    assert contract in broken(tree)


def test_every_contract_has_a_plant() -> None:
    text = (ROOT / "pyproject.toml").read_text()
    contracts = text[text.index("[tool.importlinter]") :]
    names: Sequence[str] = re.findall(r'^name = "(.+)"$', contracts, re.MULTILINE)
    assert set(names) == {contract for contract, _, _ in PLANTS}
