"""Backups: whole under writing load, checked, rotated; restoring refuses what is not sound."""

import json
import sqlite3
import threading
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from shop.store.backup import (
    BEFORE_UPGRADE,
    DATABASE,
    FILES,
    MANIFEST,
    STAMP,
    Backup,
    backups,
    is_due,
    mark_before_upgrade,
    restore,
    rotate,
    take_backup,
)
from shop.store.errors import BackupWrong

# Backups are of the embedded store: SQLite files, made here.
pytestmark = pytest.mark.own_engine
NOON = datetime(2026, 11, 26, 12, tzinfo=UTC)


def a_store(path: Path, events: int = 3) -> Path:
    """Only the tables a backup counts in, with a counter that agrees."""
    with closing(sqlite3.connect(path, isolation_level=None)) as store:
        store.execute("PRAGMA journal_mode=WAL")
        store.execute("CREATE TABLE shop_event (id INTEGER PRIMARY KEY, line TEXT)")
        store.execute("CREATE TABLE shop_shop (head INTEGER)")
        store.executemany("INSERT INTO shop_event (line) VALUES (?)", [("x",)] * events)
        store.execute("INSERT INTO shop_shop VALUES (?)", (events,))
    return path


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return a_store(tmp_path / "store.sqlite3")


def lines(path: Path) -> int:
    with closing(sqlite3.connect(path)) as store:
        return int(store.execute("SELECT count(*) FROM shop_event").fetchone()[0])


def test_a_backup_under_writing_load_is_one_whole_moment(store: Path, tmp_path: Path) -> None:
    stop = threading.Event()

    def write() -> None:
        with closing(sqlite3.connect(store, timeout=20, isolation_level=None)) as writer:
            while not stop.is_set():
                writer.execute("BEGIN IMMEDIATE")
                writer.execute("INSERT INTO shop_event (line) VALUES ('y')")
                writer.execute("UPDATE shop_shop SET head = head + 1")
                writer.execute("COMMIT")

    writing = threading.Thread(target=write)
    writing.start()
    try:
        made = [
            take_backup(store, tmp_path / "files", tmp_path / "to", NOON + timedelta(hours=n))
            for n in range(5)
        ]
    finally:
        stop.set()
        writing.join()
    assert [b.events for b in made] == sorted(b.events for b in made)
    assert [lines(b.path / DATABASE) for b in made] == [b.events for b in made]
    assert sorted(path.name for path in made[0].path.iterdir()) == [DATABASE, MANIFEST]


def test_a_store_whose_counter_disagrees_is_no_backup(store: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(store)) as broken:
        broken.execute("UPDATE shop_shop SET head = 9")
        broken.commit()
    with pytest.raises(BackupWrong, match="3 events of 9"):
        take_backup(store, tmp_path / "files", tmp_path / "to")
    assert list((tmp_path / "to").iterdir()) == []


def test_what_was_cut_off_is_no_backup(store: Path, tmp_path: Path) -> None:
    made = take_backup(store, tmp_path / "files", tmp_path / "to")
    (made.path / MANIFEST).unlink()
    assert backups(tmp_path / "to") == []
    with pytest.raises(BackupWrong, match="no finished backup"):
        restore(made.path, store, tmp_path / "files")


def test_a_changed_backup_is_refused_and_the_store_stays(store: Path, tmp_path: Path) -> None:
    made = take_backup(store, tmp_path / "files", tmp_path / "to")
    content = bytearray((made.path / DATABASE).read_bytes())
    content[-1] ^= 1
    (made.path / DATABASE).write_bytes(content)
    with pytest.raises(BackupWrong, match="was changed"):
        restore(made.path, store, tmp_path / "files")
    assert lines(store) == 3


def test_an_open_store_is_not_pulled_away_from_under_the_server(
    store: Path, tmp_path: Path
) -> None:
    made = take_backup(store, tmp_path / "files", tmp_path / "to")
    with closing(sqlite3.connect(store)) as idle:
        idle.execute("SELECT count(*) FROM shop_event").fetchone()
        with pytest.raises(BackupWrong, match="stop the server first"):
            restore(made.path, store, tmp_path / "files")
    assert lines(store) == 3


def test_restoring_brings_that_moment_back_and_moves_the_present_aside(
    store: Path, tmp_path: Path
) -> None:
    files = tmp_path / "files"
    (files / "ab").mkdir(parents=True)
    (files / "ab" / "abc").write_bytes(b"photo")
    made = take_backup(store, files, tmp_path / "to")
    assert (tmp_path / "to" / FILES / "ab" / "abc").read_bytes() == b"photo"
    with closing(sqlite3.connect(store)) as later:
        later.execute("INSERT INTO shop_event (line) VALUES ('later')")
        later.commit()
    (files / "ab" / "abc").unlink()
    aside = restore(made.path, store, files)
    assert aside is not None
    assert (lines(store), lines(aside / store.name)) == (3, 4)
    assert (files / "ab" / "abc").read_bytes() == b"photo"


def test_the_newest_of_fourteen_days_and_twelve_months_stay(tmp_path: Path) -> None:
    folder = tmp_path / "to"
    for n in range(500):
        for hour in (1, 13):
            moment = NOON.replace(hour=hour) - timedelta(days=n)
            made = folder / moment.strftime(STAMP)
            made.mkdir(parents=True)
            plain = {"path": "", "at": moment.isoformat(), "events": 0, "size": 0, "sha256": ""}
            (made / MANIFEST).write_text(json.dumps(plain))
    rotate(folder)
    left = [backup.at for backup in backups(folder)]
    assert len(left) == 14 + 11
    assert all(at.hour == 13 for at in left)
    assert left[0].date() == NOON.date()
    assert rotate(folder) == []


def test_a_backup_is_due_after_a_day(store: Path, tmp_path: Path) -> None:
    assert is_due(tmp_path / "to", NOON)
    take_backup(store, tmp_path / "files", tmp_path / "to", NOON)
    assert not is_due(tmp_path / "to", NOON + timedelta(hours=23))
    assert is_due(tmp_path / "to", NOON + timedelta(hours=24))


def test_those_of_the_last_three_upgrades_stay_beyond_the_months(tmp_path: Path) -> None:
    folder = tmp_path / "to"
    for n in range(0, 2500, 100):
        moment = NOON - timedelta(days=n)
        made = folder / moment.strftime(STAMP)
        made.mkdir(parents=True)
        plain = {"path": "", "at": moment.isoformat(), "events": 0, "size": 0, "sha256": ""}
        (made / MANIFEST).write_text(json.dumps(plain))
        if n >= 2000:
            mark_before_upgrade(Backup(made, moment, 0, 0, ""), ["shop 0002_next"])
    rotate(folder)
    left = backups(folder)
    marked = [one for one in left if (one.path / BEFORE_UPGRADE).exists()]
    assert [one.at for one in marked] == [NOON - timedelta(days=n) for n in (2000, 2100, 2200)]
    # A program that knows nothing of the mark reads the backup as ever.
    assert {path.name for path in marked[0].path.iterdir()} == {MANIFEST, BEFORE_UPGRADE}


def test_a_backup_of_tomorrow_keeps_none_from_being_taken(store: Path, tmp_path: Path) -> None:
    """The clock was wrong and was set back."""
    into = tmp_path / "to"
    take_backup(store, tmp_path / "files", into, NOON + timedelta(days=3))
    assert is_due(into, NOON)
    take_backup(store, tmp_path / "files", into, NOON)
    assert not is_due(into, NOON + timedelta(hours=23))
    assert is_due(into, NOON + timedelta(hours=24))
