"""What SQLite must be told so that erased text is in none of its files."""

from collections.abc import Sequence

from django.db import connection
from django.db.models import Model


def removed(model: type[Model], gone: set[int]) -> None:
    """Delete these rows, so that on SQLite nothing of them stays in the table's pages."""
    rows = model._default_manager.order_by("pk")
    if connection.vendor == "sqlite":
        written_anew(model, [row for row in rows if row.pk not in gone])
    else:
        rows.filter(pk__in=gone).delete()


def written_anew(model: type[Model], rows: Sequence[Model]) -> None:
    """Empty a table on SQLite and fill it with these rows: as rows come, SQLite moves others
    between pages and leaves pieces of them in the gaps, which `secure_delete` wipes only page by
    page. Rows that point here are looked at when the transaction ends."""
    with connection.cursor() as cursor:
        cursor.execute(f"DELETE FROM {model._meta.db_table}")  # noqa: S608  # our own table
    model._default_manager.bulk_create(rows)


def emptied_log() -> bool:
    """Write SQLite's write-ahead log back and cut it: it holds pages as they were.

    False where somebody was reading, or inside a transaction: then it is not cut yet. On PostgreSQL
    a vacuum frees the place (docs/backups.md).
    """
    if connection.vendor != "sqlite" or connection.in_atomic_block:
        return connection.vendor != "sqlite"
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        busy, _, _ = cursor.fetchone()
    return not busy
