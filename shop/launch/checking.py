"""`manage.py test`, `bench` and `lint`: they reach their tools before Django loads."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from shop.launch.tools import provide_tools

# A worker for each processor; a file of tests stays on one worker with the program it started.
SHARED_OUT = (
    "--numprocesses=auto",
    "--maxprocesses=4",
    "--dist=loadfile",
    "--no-loadscope-reorder",
)
LINTERS = (
    ("ruff", "check"),
    ("ruff", "format", "--check"),
    ("mypy",),
    ("lint-imports", "--no-cache"),
)


def run_tests(root: Path, arguments: Sequence[str]) -> int:
    """Everything: pytest with the browser tests, the linters among them, on data of its own."""
    provide_tools()
    with tempfile.TemporaryDirectory(prefix="kettleside-test-") as data:
        command = [sys.executable, "-m", "pytest", *SHARED_OUT, *arguments]
        environment = {**os.environ, "KETTLESIDE_DATA": data, "KETTLESIDE_SHOP": "shop"}
        return subprocess.call(command, cwd=root, env=environment)


def run_bench(root: Path, arguments: Sequence[str]) -> int:
    """Every figure beside its floor, on data of its own."""
    provide_tools()
    command = [sys.executable, "-m", "tests.bench", *arguments]
    return subprocess.call(command, cwd=root, env=os.environ)


def lint(root: Path) -> int:
    """Every linter, to the end, so that one run shows all there is to mend."""
    return max(run_linter(root, linter).returncode for linter in LINTERS)


def run_linter(
    root: Path, linter: Sequence[str], capture: bool = False
) -> subprocess.CompletedProcess[str]:
    tool = Path(sys.executable).with_name(linter[0])
    return subprocess.run(
        [str(tool), *linter[1:]], cwd=root, text=True, capture_output=capture, check=False
    )
