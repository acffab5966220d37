"""The floor of the exchange: a bare WSGI program that keeps and returns event lines.

No accounts, no checks, no chain: one transaction per request, SQLite with the same durability.
"""

import gzip
import json
import os
import sqlite3
from collections.abc import Callable, Iterable
from typing import Any

_store: list[sqlite3.Connection] = []


def store() -> sqlite3.Connection:
    """The one connection of this process."""
    if not _store:
        db = sqlite3.connect(os.environ["BARE_DB"], isolation_level=None, check_same_thread=False)
        db.execute("pragma journal_mode=wal")
        db.execute("pragma synchronous=full")
        db.execute("create table if not exists line (n integer primary key, text text not null)")
        _store.append(db)
    return _store[0]


def keep(lines: Iterable[str]) -> bytes:
    """Stores the lines in one transaction."""
    db = store()
    db.execute("begin immediate")
    db.executemany("insert into line (text) values (?)", ((line,) for line in lines))
    db.execute("commit")
    return b"{}"


def application(environ: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
    """POST keeps gzipped lines, GET returns all of them gzipped."""
    size = int(environ.get("CONTENT_LENGTH") or 0)
    if environ["REQUEST_METHOD"] == "POST":
        given = json.loads(gzip.decompress(environ["wsgi.input"].read(size)))
        answer = keep(line for chain in given["chains"] for line in chain["lines"])
    else:
        rows = store().execute("select text from line order by n")
        answer = gzip.compress("\n".join(text for (text,) in rows).encode(), 6)
    start("200 OK", [("Content-Length", str(len(answer)))])
    return [answer]
