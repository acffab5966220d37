"""The demo that most tests are given, made once and copied, is the one that a start makes."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from tests.programs import running


def test_a_copied_demo_is_the_one_a_start_makes(tmp_path: Path) -> None:
    made, given = tmp_path / "made", tmp_path / "given"
    with running(made, "demo", anew=True) as one, running(given, "demo") as other:
        assert "sign-in office " in one.said()
        assert "sign-in office " in other.said()
    assert schema(made) == schema(given)
    assert rows(made) == rows(given)
    assert key(made) != key(given)


def schema(data: Path) -> set[str]:
    """Every table, index and trigger, as it was made."""
    with closing(sqlite3.connect(store(data))) as opened:
        return {sql for (sql,) in opened.execute("SELECT sql FROM sqlite_master WHERE sql != ''")}


def rows(data: Path) -> dict[str, int]:
    """How many rows each table has."""
    with closing(sqlite3.connect(store(data))) as opened:
        tables = opened.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
        every = [opened.execute(f"SELECT count(*) FROM {name}") for (name,) in tables]  # noqa: S608
        return {name: one.fetchone()[0] for (name,), one in zip(tables, every, strict=True)}


def store(data: Path) -> Path:
    return data / "demo" / "kettleside.sqlite3"


def key(data: Path) -> str:
    return (data / "demo" / "secret.key").read_text()
