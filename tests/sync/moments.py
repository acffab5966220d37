"""One moment of the whole store, kept in memory and put back, as a backup and a restore do it.

SQLite makes its own online copy. On PostgreSQL every table is copied out and in, as `pg_dump` and
`pg_restore` do: with the triggers off that would ask what a restore may do.
"""

import sqlite3
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db import connection, transaction

TABLES = [model._meta.db_table for model in apps.get_app_config("shop").get_models()]


@dataclass(frozen=True)
class Moment:
    """A copy of all shops' tables; on PostgreSQL the text of each, and where its numbers stand."""

    file: sqlite3.Connection | None
    rows: dict[str, bytes]
    numbers: dict[str, int]


def taken() -> Moment:
    """The store as it is now."""
    connection.ensure_connection()
    if connection.vendor == "sqlite":
        file = sqlite3.connect(":memory:")
        connection.connection.backup(file)
        return Moment(file, {}, {})
    with connection.cursor() as cursor:
        rows = {table: _out(cursor, table) for table in TABLES}
        numbers = {table: _number(cursor, table) for table in TABLES}
    return Moment(None, rows, numbers)


def put_back(moment: Moment) -> None:
    """The store as it was, whatever was written since."""
    if moment.file is not None:
        moment.file.backup(connection.connection)
        return
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SET LOCAL session_replication_role = replica")
        for table in TABLES:
            cursor.execute(f"DELETE FROM {table}")  # noqa: S608  # our own names only
            with cursor.copy(f"COPY {table} FROM STDIN") as to:
                to.write(moment.rows[table])
            cursor.execute(f"SELECT setval('{table}_id_seq', %s)", [moment.numbers[table]])


def let_go(moment: Moment) -> None:
    """The memory is free again."""
    if moment.file is not None:
        moment.file.close()


def need_no_disk() -> None:
    """For the rest of this connection no commit waits for the disk."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("PRAGMA synchronous=OFF")
        else:
            cursor.execute("SET synchronous_commit = off")


def allow_emptying() -> None:
    """PostgreSQL's tables are emptied by TRUNCATE, which a trigger refuses for empty ones too."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SET session_replication_role = replica")


def _out(cursor: Any, table: str) -> bytes:
    with cursor.copy(f"COPY {table} TO STDOUT") as out:
        return b"".join(bytes(piece) for piece in out)


def _number(cursor: Any, table: str) -> int:
    cursor.execute(f"SELECT last_value FROM {table}_id_seq")  # noqa: S608  # our own names only
    return int(cursor.fetchone()[0])
