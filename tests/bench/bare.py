"""The floor of the exchange: a bare WSGI program that keeps and returns event lines.

No accounts, no checks, no chain: one transaction per request, with the same durability, in SQLite
or, where BARE_DB is an address of it, in PostgreSQL.
"""

import gzip
import json
import os
import sqlite3
from collections.abc import Callable, Iterable
from typing import Any

import psycopg

MAKE = "create table if not exists line (n {} primary key, text text not null)"
_store: list[sqlite3.Connection | psycopg.Connection] = []


def store() -> sqlite3.Connection | psycopg.Connection:
    """The one connection of this process."""
    if not _store:
        name = os.environ["BARE_DB"]
        _store.append(_postgres(name) if name.startswith("postgresql:") else _sqlite(name))
    return _store[0]


def _sqlite(name: str) -> sqlite3.Connection:
    db = sqlite3.connect(name, isolation_level=None, check_same_thread=False)
    db.execute("pragma journal_mode=wal")
    db.execute("pragma synchronous=full")
    db.execute(MAKE.format("integer"))
    return db


def _postgres(url: str) -> psycopg.Connection:
    db = psycopg.connect(url, autocommit=True)
    # Two processes that make one table at once would refuse one another.
    with db.transaction():
        db.execute("select pg_advisory_xact_lock(1)")
        db.execute(MAKE.format("bigserial"))
    return db


def keep(lines: Iterable[str]) -> bytes:
    """Stores the lines in one transaction."""
    db, rows = store(), [(line,) for line in lines]
    if isinstance(db, psycopg.Connection):
        with db.transaction():
            for row in rows:
                db.execute("insert into line (text) values (%s)", row)
        return b"{}"
    db.execute("begin immediate")
    db.executemany("insert into line (text) values (?)", rows)
    db.execute("commit")
    return b"{}"


def application(environ: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
    """POST keeps lines, a poll finds nothing, any other GET returns all of them gzipped."""
    if environ["PATH_INFO"] == "/sync/pull":
        start("204 No Content", [])
        return []
    if environ["REQUEST_METHOD"] == "POST":
        chains = json.loads(_body(environ))["chains"]
        answer = keep(line for chain in chains for line in chain["lines"])
    else:
        rows = store().execute("select text from line order by n")
        answer = gzip.compress("\n".join(text for (text,) in rows).encode(), 6)
    start("200 OK", [("Content-Length", str(len(answer)))])
    return [answer]


def _body(environ: dict[str, Any]) -> bytes:
    raw: bytes = environ["wsgi.input"].read(int(environ.get("CONTENT_LENGTH") or 0))
    return gzip.decompress(raw) if environ.get("HTTP_CONTENT_ENCODING") == "gzip" else raw
