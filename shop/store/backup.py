"""Backups: whole, checked copies of the store in folders of their own, and the way back.

    backups/2026-11-26T04-20-01Z/kettleside.sqlite3
    backups/2026-11-26T04-20-01Z/manifest.json      written last: without it there is no backup
    backups/2026-11-26T04-20-01Z/before-upgrade     where an upgrade took it; such ones stay longer
    backups/files/ab/abcd…                          photos and sounds, by content, shared by all

A backup is taken from a running store: SQLite's own online copy sees one moment of it. Nothing
here opens Django's connection, so that a thread of the serving process may take one.
"""

import json
import os
import shutil
import sqlite3
from contextlib import closing
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from hashlib import file_digest
from pathlib import Path

from django.conf import settings

from shop.launch.places import private_folder, write_private
from shop.store.errors import BackupThere, BackupWrong

DATABASE, MANIFEST, FILES = "kettleside.sqlite3", "manifest.json", "files"
# Beside the manifest, not in it: the older program must read that to go back.
BEFORE_UPGRADE = "before-upgrade"
KEEP_UPGRADES = 3
STAMP = "%Y-%m-%dT%H-%M-%SZ"
KEEP_DAYS, KEEP_MONTHS = 14, 12
DAY_S = 24 * 3600


@dataclass(frozen=True, slots=True)
class Backup:
    """One good backup: where it is, when it was taken, what it holds."""

    path: Path
    at: datetime
    events: int
    size: int
    sha256: str


def is_embedded() -> bool:
    """Whether the store is one file that is backed up here."""
    return str(settings.DATABASES["default"]["ENGINE"]).endswith("sqlite3")


def take_backup(database: Path, files: Path, into: Path, now: datetime | None = None) -> Backup:
    """Copy the running store, check the copy, and only then call it a backup.

    Raises BackupWrong; what was begun is removed.
    """
    moment = now or datetime.now(UTC)
    folder = private_folder(into) / moment.strftime(STAMP)
    if folder.exists():
        raise BackupThere(folder)
    draft = private_folder(into / f".{folder.name}.draft")
    try:
        copy_database(database, draft / DATABASE)
        events = checked(draft / DATABASE)
        _add_files(files, into / FILES)
        size = (draft / DATABASE).stat().st_size
        found = Backup(folder, moment, events, size, _sha256(draft / DATABASE))
        plain = {**asdict(found), "path": folder.name, "at": moment.isoformat()}
        write_private(draft / MANIFEST, json.dumps(plain, indent=1).encode())
        draft.rename(folder)
        _sync_folder(into)
    except (OSError, sqlite3.Error) as error:
        raise BackupWrong(f"no backup was made in {into}: {error}") from error
    finally:
        shutil.rmtree(draft, ignore_errors=True)
    return found


def copy_database(source: Path, target: Path) -> None:
    """One moment of the store, whoever writes to it meanwhile (sqlite.org/backup.html)."""
    with (
        closing(sqlite3.connect(f"{source.as_uri()}?mode=ro", uri=True)) as store,
        closing(sqlite3.connect(target)) as copy,
    ):
        store.backup(copy)
        # One file, with no write-ahead log beside it.
        copy.execute("PRAGMA journal_mode=DELETE")
    target.chmod(0o600)
    with target.open("rb+") as file:
        os.fsync(file.fileno())


def checked(database: Path) -> int:
    """The number of events in a copy that is whole. Raises BackupWrong."""
    try:
        with closing(sqlite3.connect(f"{database.as_uri()}?mode=ro", uri=True)) as copy:
            [(said,)] = copy.execute("PRAGMA integrity_check(1)").fetchall()
            loose = copy.execute("PRAGMA foreign_key_check").fetchall()
            [(events,)] = copy.execute("SELECT count(*) FROM shop_event").fetchall()
            [(heads,)] = copy.execute("SELECT coalesce(sum(head), 0) FROM shop_shop").fetchall()
    except (sqlite3.Error, UnicodeDecodeError, MemoryError) as error:
        # A damaged file may name a size or a text that is none.
        raise BackupWrong(f"{database} can't be read: {error}") from error
    if said != "ok" or loose or events != heads:
        wrong = f"integrity {said}, {len(loose)} loose rows, {events} events of {heads}"
        raise BackupWrong(f"{database} is not whole: {wrong}")
    return int(events)


def _add_files(source: Path, target: Path) -> None:
    """What is not there yet: a file's name is its content, so what is there stays right."""
    for path in source.glob("??/*") if source.is_dir() else ():
        kept = target / path.parent.name / path.name
        if not kept.exists():
            private_folder(kept.parent)
            draft = kept.with_suffix(".draft")
            shutil.copyfile(path, draft)
            draft.replace(kept)


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return file_digest(file, "sha256").hexdigest()


def _sync_folder(folder: Path) -> None:
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def backups(folder: Path) -> list[Backup]:
    """Every finished backup in a folder, newest first."""
    found = [_read(path.parent) for path in folder.glob(f"*/{MANIFEST}")]
    return sorted((b for b in found if b is not None), key=lambda b: b.at, reverse=True)


def _read(folder: Path) -> Backup | None:
    try:
        plain = json.loads((folder / MANIFEST).read_text("utf-8"))
        plain["path"], plain["at"] = folder, datetime.fromisoformat(plain["at"])
        found = Backup(**plain)
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    return found if _is_sound(found) else None


def _is_sound(found: Backup) -> bool:
    """Whether a manifest's values are what is written there: it may come from anywhere."""
    whole = all(type(number) is int and number >= 0 for number in (found.events, found.size))
    return whole and isinstance(found.sha256, str) and found.at.utcoffset() is not None


def rotate(folder: Path) -> list[Path]:
    """Removes all but the newest of each of the last fourteen days and twelve months, and those
    that the last three upgrades took."""
    upgrades = [one.path for one in backups(folder) if (one.path / BEFORE_UPGRADE).exists()]
    kept = set(upgrades[:KEEP_UPGRADES])
    for form, most in (("%Y-%m-%d", KEEP_DAYS), ("%Y-%m", KEEP_MONTHS)):
        newest: dict[str, Path] = {}
        for backup in backups(folder):
            newest.setdefault(backup.at.strftime(form), backup.path)
        kept |= set(list(newest.values())[:most])
    gone = [backup.path for backup in backups(folder) if backup.path not in kept]
    for path in gone:
        shutil.rmtree(path)
    return gone


def mark_before_upgrade(backup: Backup, steps: list[str]) -> None:
    """Write beside it what was about to be done, so that it is not thinned out like the others."""
    write_private(backup.path / BEFORE_UPGRADE, "".join(f"{step}\n" for step in steps).encode())


def is_due(folder: Path, now: datetime | None = None) -> bool:
    """Whether the last good backup is older than a day.

    One that is dated after now was taken before the clock was set back: it counts for nothing,
    or there would be no backup until the clock comes by there again.
    """
    moment = now or datetime.now(UTC)
    newest = next((backup for backup in backups(folder) if backup.at <= moment), None)
    return newest is None or (moment - newest.at).total_seconds() >= DAY_S


def restore(backup: Path, database: Path, files: Path) -> Path | None:
    """Put a backup in the store's place; what stood there is moved aside and named.

    Raises BackupWrong, also while the store is open anywhere; then nothing was changed.
    """
    refuse_if_open(database)
    found = _read(backup)
    if found is None:
        raise BackupWrong(f"{backup} is no finished backup: no {MANIFEST} there can be read")
    if (said := _sha256(backup / DATABASE)) != found.sha256:
        hashes = f"{said[:12]}…, not {found.sha256[:12]}…"
        raise BackupWrong(f"{backup} was changed: its hash is {hashes}")
    checked(backup / DATABASE)
    draft = database.with_suffix(".restoring")
    shutil.copyfile(backup / DATABASE, draft)
    draft.chmod(0o600)
    _add_files(backup.parent / FILES, files)
    aside = _move_aside(database)
    draft.replace(database)
    _sync_folder(database.parent)
    return aside


def _move_aside(database: Path) -> Path | None:
    """The store as it was, its unfinished writes included."""
    there = [Path(f"{database}{end}") for end in ("", "-wal", "-shm")]
    there = [path for path in there if path.exists()]
    if not there:
        return None
    stamp = datetime.now(UTC).strftime(STAMP)
    aside = private_folder(database.parent / f"before-restore-{stamp}")
    for path in there:
        path.rename(aside / path.name)
    return aside


def refuse_if_open(database: Path) -> None:
    """Raises BackupWrong while anybody has the store open; else leaves it one whole file.

    SQLite leaves its write-ahead mode only when no other connection is there, however idle.
    """
    if not database.exists():
        return
    with closing(sqlite3.connect(database, timeout=1)) as store:
        try:
            store.execute("PRAGMA journal_mode=DELETE")
        except sqlite3.Error as error:
            raise BackupWrong(f"the store is in use ({error}); stop the server first") from error
