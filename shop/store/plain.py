"""What phones ask for every second, in plain SQL.

Django takes ten times longer to put such a query together than a database to answer it, and a
hundred phones at one shop ask a hundred times a second.
"""

from typing import Any

from django.db import connection

from shop.store.shapes import BatchInfo, PersonInfo

# As BatchInfo is laid out.
BATCHES = """
SELECT b.id, b.shop_id, b.key, b.lot, b.letter, b.pattern, b.title, s.hash, b.phase,
       b.opened_position, b.position
  FROM ({}) b JOIN shop_sheet s ON s.id = b.sheet_id ORDER BY b.id"""
SOME = "SELECT * FROM shop_batch WHERE shop_id = %s AND "
IDS = """
SELECT b.id, b.key, s.hash FROM shop_batch b JOIN shop_sheet s ON s.id = b.sheet_id
 WHERE b.shop_id = %s AND b.key IN ({})"""
NEWS = (
    "SELECT position, line FROM shop_event WHERE batch_id = %s AND position > %s AND position <= %s"
)
PEOPLE = (
    "SELECT key, name, role, active, pin_set, units, language FROM shop_person "
    "WHERE shop_id = %s ORDER BY name, key"
)


def batches_for(shop_id: int, after: int, named: list[str] | None) -> list[BatchInfo]:
    """Open batches and those named; past the beginning, those opened after a position too, and
    without a list those that went on after it."""
    wanted: list[tuple[str, list[Any]]] = [("phase = 'open'", [])]
    # PostgreSQL refuses the character NUL in a query; no id holds one.
    if keys := [key for key in named or [] if "\0" not in key]:
        wanted.append((f"key IN ({_places(keys)})", list(keys)))
    if after:
        wanted.append(("opened_position > %s", [after]))
    if after and named is None:
        wanted.append(("position > %s", [after]))
    # One by one each has its index; joined by OR a database walks through every batch there is.
    union = " UNION ".join(SOME + where for where, _ in wanted)
    values = [value for _, some in wanted for value in (shop_id, *some)]
    return [BatchInfo(*row) for row in _rows(BATCHES.format(union), values)]


def ids_of_batches(shop_id: int, keys: list[str]) -> list[tuple[int, str, str]]:
    """Row, id and hash of the sheet, of those of these batches that the shop has."""
    found = _rows(IDS.format(_places(keys)), [shop_id, *keys]) if keys else []
    return [(pk, key, sheet) for pk, key, sheet in found]


def lines_of(batch_ids: list[int], after: int, through: int) -> list[str]:
    """Event lines of these batches after one position up to another, in the order of the log."""
    # Batch by batch: asked for all together, a database may walk through the whole log for them.
    found = [row for pk in batch_ids for row in _rows(NEWS, [pk, after, through])]
    return [line for _, line in sorted(found)]


def people_of(shop_id: int) -> list[PersonInfo]:
    """Everybody, by name."""
    rows = _rows(PEOPLE, [shop_id])
    return [PersonInfo(key, name, role, bool(on), *rest) for key, name, role, on, *rest in rows]


def _places(values: list[str]) -> str:
    return ", ".join(["%s"] * len(values))


def _rows(sql: str, values: list[Any]) -> list[tuple[Any, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(sql, values)
        return list(cursor.fetchall())
