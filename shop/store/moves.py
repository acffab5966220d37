"""What a push writes every time, in plain SQL: the new rows, and how far everything has come.

Without making a model instance of each row: at a shift change some thousand events come at once,
and that alone would double their time; with one event it is half of what a push costs.
"""

from collections.abc import Iterable
from typing import TypeAlias

from django.db import connection

from shop.models import Device, Event, Shop

# Values of an event's columns, in this order.
COLUMNS = (
    *("shop_id", "position", "device_id", "seq", "batch_id", "line", "sha256"),
    *("received", "ahead", "carried_by_id", "chain"),
)
Row: TypeAlias = tuple[int | str | None, ...]


def insert_events(rows: list[Row]) -> None:
    """Add these to the log."""
    table, columns = Event._meta.db_table, ", ".join(COLUMNS)
    places = ", ".join(["%s"] * len(COLUMNS))
    _each(f"INSERT INTO {table} ({columns}) VALUES ({places})", rows)  # noqa: S608  # our own names


def move_shop(shop: Shop) -> None:
    """The counter, its chain and its clock."""
    sql = (
        "UPDATE shop_shop SET head = %s, head_hash = %s, hlc_ms = %s, hlc_count = %s WHERE id = %s"
    )
    _each(sql, [(shop.head, shop.head_hash, shop.hlc_ms, shop.hlc_count, shop.pk)])


def move_devices(devices: Iterable[Device]) -> None:
    """The heads of these devices, reckoned and told."""
    sql = (
        "UPDATE shop_device SET head_seq = %s, head_hash = %s, told_seq = %s, told_hash = %s "
        "WHERE id = %s"
    )
    _each(sql, [(d.head_seq, d.head_hash, d.told_seq, d.told_hash, d.pk) for d in devices])


def move_batches(positions: dict[int, int]) -> None:
    """Batch → position of its newest event."""
    sql = "UPDATE shop_batch SET position = %s WHERE id = %s"
    _each(sql, [(position, pk) for pk, position in positions.items()])


def _each(sql: str, rows: list[Row]) -> None:
    with connection.cursor() as cursor:
        # For one row the pipeline of psycopg's `executemany` costs more than it saves.
        if len(rows) == 1:
            cursor.execute(sql, rows[0])
        elif rows:
            cursor.executemany(sql, rows)
