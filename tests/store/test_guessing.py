"""Guessing a PIN: as many at once as one likes, over many connections, and after a restart."""

from pathlib import Path

import pytest

from tests.postgres import postgres_server
from tests.programs import beside

GUESSES = 24
CODE = "from tests.store import guessing\nanswer = guessing.{}"


def guessed(data: Path, url: str) -> None:
    found = beside(data, CODE.format(f"at_once({GUESSES})"), DATABASE_URL=url)
    assert found["said"] == {"WrongPin": 5, "MustWait": GUESSES - 5}
    # Another process, which has counted nothing itself.
    later = beside(data, CODE.format(f"once_more({found['token']!r})"), DATABASE_URL=url)
    assert later == {"the phone that guessed": "MustWait", "another": "right"}


@pytest.mark.own_engine
def test_on_sqlite_five_guesses_are_looked_at_however_many_come(tmp_path: Path) -> None:
    guessed(tmp_path, "")


def test_on_postgresql_five_guesses_are_looked_at_however_many_come(tmp_path: Path) -> None:
    with postgres_server() as url:
        guessed(tmp_path, url)
