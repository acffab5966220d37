"""docs/settings.md has a heading for each variable, and for nothing else."""

from __future__ import annotations

import re

from tests.programs import ROOT

VARIABLE = re.compile(r"""["'](KETTLESIDE_[A-Z_]+|DATABASE_URL)["']""")


def test_every_variable_has_its_heading() -> None:
    sources = [ROOT / "tests" / "browsers.py", *(ROOT / "shop").rglob("*.py")]
    used = {name for path in sources for name in VARIABLE.findall(path.read_text())}
    text = (ROOT / "docs" / "settings.md").read_text()
    assert set(re.findall(r"^### (\S+)$", text, re.MULTILINE)) == used
