"""What the first released program left behind (tests/launch/kept_first): its store and its app."""

from __future__ import annotations

import base64
import http.client
import json
import lzma
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from shop.store.chain import device_head, sha256hex, shop_link
from tests.bench.shop import event_lines

KEPT = Path(__file__).parent / "kept_first"
ENTRIES = 231
DEVICE = "firstphone00"
TOKEN = "the-token-of-the-first-phone"
ADD = (
    "INSERT INTO shop_device (key, name, station, is_server, token_sha256, added, head_seq, "
    "head_hash, told_seq, told_hash, shop_id) VALUES (?, '', '', 0, ?, 0, 0, '', 0, '', 1)"
)
KEEP = (
    "INSERT INTO shop_event (position, seq, line, sha256, received, ahead, chain, batch_id, "
    "device_id, shop_id) VALUES (?, ?, ?, ?, ?, 0, ?, ?, ?, 1)"
)


def first_store(data: Path, more: int = 0) -> Path:
    """The demo store of the first release with so many further entries of one phone; its file."""
    path = data / "demo" / "kettleside.sqlite3"
    path.parent.mkdir(parents=True)
    path.write_bytes(lzma.decompress((KEPT / "store.sqlite3.xz").read_bytes()))
    with closing(sqlite3.connect(path, isolation_level=None)) as store:
        store.execute("PRAGMA synchronous=OFF")
        store.execute("BEGIN")
        _add_entries(store, more)
        store.execute("COMMIT")
        store.execute("PRAGMA journal_mode=WAL")
    return path


def _add_entries(store: sqlite3.Connection, more: int) -> None:
    """As that program wrote them: gapless, each hanging on the one before."""
    device = store.execute(ADD, (DEVICE, sha256hex(TOKEN.encode()))).lastrowid
    [(head, link)] = store.execute("SELECT head, head_hash FROM shop_shop").fetchall()
    [(batch,)] = store.execute("SELECT id FROM shop_batch WHERE key = 'demo-planned'").fetchall()
    own, received = "", 1_795_800_000_000
    for seq, line in enumerate(event_lines(DEVICE, more), 1):
        head, own = head + 1, device_head(own, line.encode())
        link = shop_link(link, head, received, "", line)
        kept = (head, seq, line, sha256hex(line.encode()), received, link, batch, device)
        store.execute(KEEP, kept)
    store.execute("UPDATE shop_shop SET head = ?, head_hash = ?", (head, link))
    store.execute(
        "UPDATE shop_device SET head_seq = ?, head_hash = ? WHERE id = ?", (more, own, device)
    )
    store.execute("UPDATE shop_batch SET position = ? WHERE id = ?", (head, batch))


def lines_of(path: Path) -> set[str]:
    """Every entry in a store's file."""
    with closing(sqlite3.connect(path)) as store:
        return {line for (line,) in store.execute("SELECT line FROM shop_event")}


@dataclass
class FirstFloor:
    """The app of the first release at an address where a newer server answers the wire.

    `newer` = True: the whole address is the newer server's, as after an upgrade.
    """

    port: int
    behind: int
    newer: bool = False
    answers: dict[str, tuple[str, bytes]] = field(default_factory=dict)
    build: str = ""


@contextmanager
def first_floor(port: int, behind: int) -> Iterator[FirstFloor]:
    kept = json.loads(lzma.decompress((KEPT / "floor.json.xz").read_bytes()))
    floor = FirstFloor(port, behind)
    for path, kind, content in kept:
        floor.answers[path] = (kind, base64.b64decode(content))
        if path.startswith("/floor/pack-"):
            floor.build = path.removeprefix("/floor/pack-").removesuffix(".json")
    for path, file in json.loads(floor.answers[f"/floor/pack-{floor.build}.json"][1]).items():
        floor.answers.setdefault(path, (file["type"], file["text"].encode()))
    server = ThreadingHTTPServer(("127.0.0.1", port), _handler(floor))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield floor
    finally:
        server.shutdown()
        server.server_close()


def _handler(floor: FirstFloor) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            path = self.path.split("?")[0]
            if floor.newer or path.startswith("/sync/"):
                return self._pass_on()
            kind, content = floor.answers.get(path, floor.answers["/floor/"])
            self._answer(200, {"Content-Type": kind, "X-Build": floor.build}, content)

        def do_POST(self) -> None:
            self._pass_on()

        def _pass_on(self) -> None:
            body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
            with closing(http.client.HTTPConnection("127.0.0.1", floor.behind)) as server:
                server.request(self.command, self.path, body or None, dict(self.headers))
                given = server.getresponse()
                left = ("transfer-encoding", "connection", "content-length")
                more = {k: v for k, v in given.getheaders() if k.lower() not in left}
                self._answer(given.status, more, given.read())

        def _answer(self, status: int, headers: dict[str, str], content: bytes) -> None:
            self.send_response(status)
            for name, value in headers.items():
                self.send_header(name, value)
            if status != 204:
                self.send_header("Content-Length", str(len(content)))
            self.end_headers()
            self.wfile.write(content)

        def log_message(self, *_: object) -> None:
            """Nothing to say."""

    return Handler
