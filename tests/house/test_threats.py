"""The threats that docs/security.md names, each with a test that is there."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ROW = re.compile(r"^\| (\d+) \| .+ \| `(tests/[\w/]+\.py)::(\w+)` \|$", re.M)
THREATS = ROW.findall((ROOT / "docs" / "security.md").read_text("utf-8"))


def test_there_are_twenty_numbered_on() -> None:
    assert [int(number) for number, _, _ in THREATS] == list(range(1, len(THREATS) + 1))
    assert len(THREATS) >= 20


@pytest.mark.parametrize(("file", "name"), [threat[1:] for threat in THREATS])
def test_each_has_its_test(file: str, name: str) -> None:
    assert re.search(rf"^def {name}\(", (ROOT / file).read_text("utf-8"), re.M)
