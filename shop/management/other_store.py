"""Another store's folder, read beside this program's own: held still, copied, looked over."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from django.conf import settings
from django.db import connections
from django.db.backends.sqlite3.base import DatabaseWrapper
from django.db.migrations.executor import MigrationExecutor

from shop.launch.database import embedded
from shop.launch.places import private_folder
from shop.store.backup import DATABASE, FILES, copy_database
from shop.store.errors import NotBrought

OTHER = "other"


@contextmanager
def other_store(folder: Path) -> Iterator[str]:
    """The alias under which a copy of that store may be read; the store itself stays as it is.

    Nobody writes to it meanwhile. Raises NotBrought where a server is still running on it, and
    with its first broken link where it is not whole.
    """
    database = folder / DATABASE
    if not database.is_file():
        raise NotBrought(f"There is no {DATABASE} in {folder}; name the folder that holds it.")
    with (
        tempfile.TemporaryDirectory(prefix="kettleside-") as place,
        closing(_held_still(database)),
    ):
        copy = private_folder(Path(place) / "shop") / DATABASE
        try:
            copy_database(database.absolute(), copy)
        except (OSError, sqlite3.Error) as error:
            raise NotBrought(f"{database} can't be copied: {error}.") from error
        _lay_beside(folder / FILES, copy.parent / FILES)
        _check_whole(Path(place), folder, copy)
        with _opened(copy):
            yield OTHER


def _held_still(database: Path) -> sqlite3.Connection:
    """A connection that keeps the write lock. Raises NotBrought where anybody has it open."""
    try:
        with closing(_connect(database)) as alone:
            # In this mode SQLite begins only where no other connection is, however idle.
            alone.execute("PRAGMA locking_mode=EXCLUSIVE")
            alone.execute("BEGIN IMMEDIATE")
            alone.execute("ROLLBACK")
        held = _connect(database)
        held.execute("BEGIN IMMEDIATE")
    except sqlite3.Error as error:
        raise NotBrought(
            f"{database} can't be held still ({error}). Stop the server that runs on it first."
        ) from error
    return held


def _connect(database: Path) -> sqlite3.Connection:
    address = f"{database.absolute().as_uri()}?mode=rw"
    return sqlite3.connect(address, uri=True, isolation_level=None, timeout=1)


def _lay_beside(files: Path, link: Path) -> None:
    if not files.is_dir():
        return
    try:
        link.symlink_to(files.absolute(), target_is_directory=True)
    except OSError:
        # Windows lets not everybody make a link.
        shutil.copytree(files, link)


def _check_whole(place: Path, folder: Path, copy: Path) -> None:
    """The program's own `verify`, run on the copy as if it served it. Raises NotBrought.

    An older store is brought up to date first. A store that is up to date is looked at as it
    stands, for `migrate` would mend a trigger that somebody took away.
    """
    if _is_older(copy, folder):
        done = _manage(place, "migrate", "--skip-checks")
        if done.returncode:
            raise NotBrought(f"{folder} can't be brought up to date: {_last(done.stderr)}")
    done = _manage(place, "verify")
    if done.returncode:
        raise NotBrought(f"{folder} is not whole, nothing was brought in. {_last(done.stderr)}")


def _is_older(copy: Path, folder: Path) -> bool:
    """Whether its tables lack what this program has. Raises NotBrought where they have more."""
    with _opened(copy):
        executor = MigrationExecutor(connections[OTHER])
        loader = executor.loader
        done = {key for key in loader.applied_migrations if key[0] == "shop"}
        if unknown := sorted(done - set(loader.disk_migrations)):
            newer = f"{folder} is of a newer program ({unknown[-1][1]})"
            raise NotBrought(f"{newer}: update this one first.")
        return bool(executor.migration_plan(loader.graph.leaf_nodes()))


def _manage(place: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """One command in a process of its own: Django reads its settings once."""
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    own = {"KETTLESIDE_DATA": str(place), "KETTLESIDE_SHOP": "shop"}
    return subprocess.run(  # noqa: S603  # ourselves, no shell
        [sys.executable, "-m", "django", *words],
        cwd=settings.BASE_DIR,
        env={**kept, **own, "DJANGO_SETTINGS_MODULE": "shop.settings"},
        capture_output=True,
        text=True,
        check=False,
    )


def _last(said: str) -> str:
    return said.strip().splitlines()[-1].removeprefix("CommandError: ") if said.strip() else ""


@contextmanager
def _opened(copy: Path) -> Iterator[None]:
    how = {**connections.settings["default"], **embedded(), "NAME": str(copy)}
    connections[OTHER] = DatabaseWrapper(how, OTHER)
    try:
        yield
    finally:
        connections[OTHER].close()
        del connections[OTHER]
