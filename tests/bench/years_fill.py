"""What `years` runs beside a store on PostgreSQL: shops, and month after month of their boils.

The rows are made by the database itself from one real boil (the demo's finished one), its sheet,
its state and its entries as they are; only the boil's id differs. Their chains are not what is
measured.
"""

from typing import Any

from django.db import connection, transaction

from shop.demo.load import ensure
from shop.models import Batch, Device, Shop
from tests.bench.filling import fill

KEY = "demo-finished"
OLD = "yesteryear"
# Every statement makes the old boils `first` to `last` of every shop.
MONTH = {
    "sheets": """
        INSERT INTO shop_sheet (shop_id, hash, text)
        SELECT s.id, md5(s.slug || boil) || md5(boil || s.slug),
               replace(%(sheet)s, %(key)s, 'old-' || boil)
        FROM shop_shop s CROSS JOIN generate_series(%(first)s, %(last)s) boil
        WHERE s.slug <> 'demo'""",
    "boils": """
        INSERT INTO shop_batch (shop_id, key, lot, letter, pattern, title, sheet_id, phase,
                                opened_position, position)
        SELECT s.id, 'old-' || boil, 'L' || boil, 'A', 'dot', %(title)s, sheet.id, 'closed',
               s.head + (boil - %(first)s) * %(each)s + 1,
               s.head + (boil - %(first)s + 1) * %(each)s
        FROM shop_shop s CROSS JOIN generate_series(%(first)s, %(last)s) boil
        JOIN shop_sheet sheet ON sheet.shop_id = s.id
             AND sheet.hash = md5(s.slug || boil) || md5(boil || s.slug)""",
    "entries": """
        INSERT INTO shop_event (shop_id, position, device_id, seq, batch_id, line, sha256, received,
                                ahead, carried_by_id, chain)
        SELECT b.shop_id, b.opened_position + t.n - 1, d.id, b.opened_position + t.n - 1, b.id,
               replace(t.line, %(key)s, b.key), t.sha256, t.received, 0, NULL, t.chain
        FROM shop_batch b
        JOIN shop_device d ON d.shop_id = b.shop_id AND d.key = %(old)s
        CROSS JOIN years_line t
        WHERE b.key IN (SELECT 'old-' || g FROM generate_series(%(first)s, %(last)s) g)
        ORDER BY b.opened_position, b.shop_id, t.n""",
    "states": """
        INSERT INTO shop_projection (shop_id, batch_id, position, fold_version, state)
        SELECT b.shop_id, b.id, b.position, %(version)s, replace(%(state)s, %(key)s, b.key)
        FROM shop_batch b
        WHERE b.key IN (SELECT 'old-' || g FROM generate_series(%(first)s, %(last)s) g)""",
    "heads": """
        UPDATE shop_shop SET head = head + (%(last)s - %(first)s + 1) * %(each)s
        WHERE slug <> 'demo'""",
}


def begin(shops: int, phones_each: int) -> list[list[dict[str, Any]]]:
    """So many shops with an open boil and phones, and the boil that all old ones are copies of."""
    made = fill(shops, phones_each, 0)
    ensure()
    Device.objects.bulk_create(
        Device(shop=shop, key=OLD, name="Old phone", added=0, token_sha256=f"{shop.pk:064d}")
        for shop in Shop.objects.exclude(slug="demo")
    )
    with connection.cursor() as cursor:
        cursor.execute(
            "CREATE TABLE years_line AS SELECT row_number() OVER (ORDER BY position) AS n, line, "
            "sha256, received, chain FROM shop_event WHERE batch_id = %s",
            [Batch.objects.get(key=KEY).pk],
        )
    return made


def month(first: int, last: int) -> dict[str, int]:
    """Old boils number `first` to `last` of every shop; how many entries there are by now."""
    values = {**_of_the_demo(), "first": first, "last": last}
    with transaction.atomic(), connection.cursor() as cursor:
        for statement in MONTH.values():
            cursor.execute(statement, values)
    return {"entries_a_boil": values["each"]}


def sent() -> dict[str, int]:
    """Shop and phone → how many entries of it are here."""
    rows = Device.objects.filter(is_server=False).values_list("shop__slug", "key", "head_seq")
    return {f"{slug} {key}": seq for slug, key, seq in rows}


def settle() -> dict[str, int]:
    """What PostgreSQL does by itself; then bytes by table, its indexes and texts apart."""
    with connection.cursor() as cursor:
        cursor.execute("VACUUM ANALYZE")
        cursor.execute("CHECKPOINT")
        cursor.execute(
            "SELECT relname, pg_table_size(oid), pg_indexes_size(oid), reltuples::bigint "
            "FROM pg_class WHERE relname LIKE 'shop_%' AND relkind = 'r' ORDER BY 2 DESC LIMIT 6"
        )
        found: dict[str, int] = {}
        for name, table, indexes, rows in cursor.fetchall():
            found |= {f"{name} bytes": table, f"{name} index bytes": indexes, f"{name} rows": rows}
        cursor.execute("SELECT pg_database_size(current_database())")
        return {**found, "all bytes": cursor.fetchone()[0]}


def _of_the_demo() -> dict[str, Any]:
    batch = Batch.objects.select_related("sheet", "projection").get(key=KEY)
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM years_line")
        each = cursor.fetchone()[0]
    return {
        **{"key": KEY, "old": OLD, "title": batch.title, "each": each},
        **{"sheet": batch.sheet.text, "state": batch.projection.state},
        "version": batch.projection.fold_version,
    }
