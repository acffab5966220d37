"""What the database itself refuses, and how each connection must be set.

Triggers are made after every migration, because a migration on SQLite that alters a table makes
the table anew and drops its triggers without a word.
"""

from collections.abc import Iterator
from typing import Any

from django.db.backends.base.base import BaseDatabaseWrapper

from shop.models import APPEND_ONLY
from shop.models.base import AppendOnlyModel
from shop.models.errors import NotDurable

FULL = 2
WANTED = {"journal_mode": "wal", "synchronous": FULL, "foreign_keys": 1, "secure_delete": 1}

POSTGRES_REFUSAL = """
CREATE OR REPLACE FUNCTION kettleside_append_only() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION '% is append-only', TG_TABLE_NAME; END $$
"""


def trigger_names(model: type[AppendOnlyModel], vendor: str) -> list[str]:
    """The triggers this table must have."""
    acts = ("update", "delete", "once") if vendor == "sqlite" else ("update", "delete", "truncate")
    table = model._meta.db_table
    return [f"{table}_{act}" for act in acts]


def make_triggers(connection: BaseDatabaseWrapper) -> None:
    """Make every trigger that is missing, on the tables that exist."""
    with connection.cursor() as cursor:
        for sql in _statements(connection):
            cursor.execute(sql)


def missing_triggers(connection: BaseDatabaseWrapper) -> list[str]:
    """Names of the triggers that should be there and are not; none for tables not yet made."""
    there = _triggers_there(connection)
    return [
        name
        for model in _tables_there(connection)
        for name in trigger_names(model, connection.vendor)
        if name not in there
    ]


def _tables_there(connection: BaseDatabaseWrapper) -> list[type[AppendOnlyModel]]:
    tables = set(connection.introspection.table_names())
    return [model for model in APPEND_ONLY if model._meta.db_table in tables]


def _triggers_there(connection: BaseDatabaseWrapper) -> set[str]:
    sql = {
        "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
        # O and A are the states in which a trigger fires in an ordinary session.
        "postgresql": "SELECT tgname FROM pg_trigger WHERE tgenabled IN ('O', 'A')",
    }[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(sql)
        return {str(name) for (name,) in cursor.fetchall()}


def _statements(connection: BaseDatabaseWrapper) -> Iterator[str]:
    if connection.vendor == "postgresql":
        yield POSTGRES_REFUSAL
    for model in _tables_there(connection):
        make = _sqlite if connection.vendor == "sqlite" else _postgres
        yield from make(model)


def _sqlite(model: type[AppendOnlyModel]) -> Iterator[str]:
    table = model._meta.db_table
    refuse = f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
    for act in ("update", "delete"):
        yield f"CREATE TRIGGER IF NOT EXISTS {table}_{act} BEFORE {act} ON {table} {refuse}"
    # INSERT OR REPLACE deletes without firing a delete trigger (sqlite.org/lang_conflict.html).
    once = (("id",), *model.once)
    there = " OR ".join(f"EXISTS ({_same(model, fields)})" for fields in once)
    when = f"BEFORE INSERT ON {table} WHEN {there}"
    yield f"CREATE TRIGGER IF NOT EXISTS {table}_once {when} {refuse}"


def _same(model: type[AppendOnlyModel], fields: tuple[str, ...]) -> str:
    columns = [field.column for field in model._meta.concrete_fields if field.name in fields]
    equal = " AND ".join(f"{column} = NEW.{column}" for column in columns)
    return f"SELECT 1 FROM {model._meta.db_table} WHERE {equal}"  # noqa: S608  # names of our own tables only


def _postgres(model: type[AppendOnlyModel]) -> Iterator[str]:
    table = model._meta.db_table
    for act, each in (("update", "ROW"), ("delete", "ROW"), ("truncate", "STATEMENT")):
        yield (
            f"CREATE OR REPLACE TRIGGER {table}_{act} BEFORE {act} ON {table} "
            f"FOR EACH {each} EXECUTE FUNCTION kettleside_append_only()"
        )


def is_file(connection: BaseDatabaseWrapper) -> bool:
    """Whether this is a SQLite database that outlives the process."""
    name = str(connection.settings_dict["NAME"])
    return connection.vendor == "sqlite" and ":memory:" not in name and "mode=memory" not in name


def pragmas(connection: BaseDatabaseWrapper) -> dict[str, Any]:
    """How this SQLite connection is really set."""
    found = {}
    with connection.cursor() as cursor:
        for name in WANTED:
            cursor.execute(f"PRAGMA {name}")
            row = cursor.fetchone()
            found[name] = row[0] if row else None
    return {**found, "transaction_mode": _transaction_mode(connection)}


def _transaction_mode(connection: BaseDatabaseWrapper) -> str:
    return str(connection.settings_dict["OPTIONS"].get("transaction_mode"))


def not_durable(connection: BaseDatabaseWrapper) -> list[NotDurable]:
    """What is not set as it must be; nothing for a database that is not a SQLite file."""
    if not is_file(connection):
        return []
    wanted = {**WANTED, "transaction_mode": "IMMEDIATE"}
    found = pragmas(connection)
    return [NotDurable(k, found[k], wanted[k]) for k in wanted if found[k] != wanted[k]]


def refuse_unsafe_connection(connection: BaseDatabaseWrapper, **_: Any) -> None:
    """Receiver of `connection_created`: no connection serves unless it is durable."""
    for problem in not_durable(connection):
        raise problem
