"""A reader that follows the log by its cursor misses nothing, however many write.

A cursor on numbers given out before the commit does: of 300,000 rows by 24 writers a hundred and
thirty-three, by one account. Only PostgreSQL can show it, SQLite has one writer.
"""

from pathlib import Path

import pytest

from tests.postgres import postgres_server
from tests.programs import beside


@pytest.mark.parametrize("events", [8_000, pytest.param(320_000, marks=pytest.mark.long)])
def test_a_tail_reader_against_sixteen_writers_misses_no_row(tmp_path: Path, events: int) -> None:
    code = f"from tests.store.tailing import follow\nanswer = follow(16, {events})"
    with postgres_server() as url:
        found = beside(tmp_path, code, DATABASE_URL=url)
    print(found)
    assert (found["made"], found["missed"], found["broken"]) == (events, 0, 0)
    assert found["pulls"] > 10
