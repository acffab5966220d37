"""Bringing a store to this program's tables: with a backup before, a check on either side, and a
way back that is said."""

from __future__ import annotations

import time
from pathlib import Path

from django.core.management import CommandError, call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from shop.launch.logs import tell
from shop.launch.places import backup_folder, database_file, files_folder
from shop.store.backup import Backup, checked, is_embedded, mark_before_upgrade, take_backup
from shop.store.errors import BackupThere, BackupWrong

Step = tuple[str, str]


def bring_up_to_date() -> Backup | None:
    """Apply what this program's tables have more than the store's; the backup taken before, if any.

    A new store and one that is up to date need none. Raises CommandError; the store is then as it
    was, or some steps further and whole: each step is done entirely or not at all.
    """
    missing, done = steps()
    saved = _back_up(missing) if missing and done and is_embedded() else None
    call_command("migrate", verbosity=0, interactive=False)
    if saved is not None:
        _check_after(saved)
    return saved


def steps() -> tuple[list[Step], set[Step]]:
    """What is still to be done, in order, and what was done. Raises CommandError where the store
    is of a newer program."""
    executor = MigrationExecutor(connection)
    loader = executor.loader
    done = set(loader.applied_migrations)
    ours = {step for step in done if step[0] == "shop"}
    if newer := sorted(ours - set(loader.disk_migrations)):
        raise CommandError(
            f"This store was used by a newer program (it has {newer[-1][1]}). Start that one; or "
            "put back the backup that it took before its upgrade: python3 manage.py restore FOLDER."
        )
    plan = executor.migration_plan(loader.graph.leaf_nodes())
    return [(step.app_label, step.name) for step, _ in plan], ours


def _back_up(missing: list[Step]) -> Backup:
    """A checked copy of the store as the older program left it."""
    try:
        saved = _taken()
    except BackupWrong as wrong:
        raise CommandError(f"Nothing was upgraded: {wrong}") from wrong
    mark_before_upgrade(saved, [f"{app} {name}" for app, name in missing])
    tell(f"The store is of an older program. A backup was taken before the upgrade: {saved.path}")
    return saved


def _taken() -> Backup:
    """A backup; a second later where another was taken in this very second: a restore takes one."""
    here = database_file(), files_folder(), backup_folder()
    try:
        return take_backup(*here)
    except BackupThere:
        time.sleep(1)
        return take_backup(*here)


def _check_after(saved: Backup) -> None:
    """The upgraded file whole, with the entries the backup has."""
    connection.close()
    try:
        entries = checked(Path(database_file()))
    except BackupWrong as wrong:
        raise CommandError(f"{wrong} {way_back(saved)}") from wrong
    if entries != saved.events:
        raise CommandError(
            f"The store had {saved.events} entries before the upgrade and has {entries} now. "
            f"{way_back(saved)}"
        )


def way_back(saved: Backup) -> str:
    """How the older program gets its store again."""
    return (
        "To go back: stop the server, put the older program in place, and with it "
        f"python3 manage.py restore {saved.path}. What came since is offered again by the phones."
    )
