"""10,000 events up and down over the wire, beside a bare program that stores the same lines."""

import gzip
import http.client
import json
import time
from contextlib import closing
from typing import Any

from tests.bench.bare_server import bare_server
from tests.bench.rows import Row
from tests.bench.shop import add_phone, event_lines
from tests.programs import Program

EVENTS, AT_ONCE = 10_000, 500


def measure_exchange(program: Program) -> list[Row]:
    """Up, down, and bytes an event, each beside its floor."""
    phone = add_phone(program.data)
    lines = event_lines(phone["device"], EVENTS)
    packed = len(gzip.compress("\n".join(lines).encode(), 6)) / EVENTS
    headers = {"Authorization": f"Bearer {phone['token']}"}
    up, sent = _up(program.port, "/sync/push", phone["device"], lines, headers)
    down, came = _down(program.port, f"/sync/pull?after=0&epoch={phone['epoch']}", headers)
    with bare_server(str(program.data / "bare.sqlite3")) as bare:
        port = bare.port
        bare_up, _ = _up(port, "/", phone["device"], lines, {})
        bare_down, _ = _down(port, "/", {})
    return [
        Row("exchange_10k_up_seconds", round(up, 3), "s", round(bare_up, 3), budget=1.0),
        Row("exchange_10k_down_seconds", round(down, 3), "s", round(bare_down, 3), budget=0.15),
        Row("bytes_per_event_up", round(sent / EVENTS, 1), "B", round(packed, 1), over_floor=1.3),
        Row(
            "bytes_per_event_down",
            round(came / EVENTS, 1),
            "B",
            round(packed, 1),
            40,
            over_floor=1.3,
        ),
    ]


def push_up(port: int, phone: dict[str, Any], lines: list[str]) -> float:
    """Seconds for all of a phone's lines, from its first number on."""
    headers = {"Authorization": f"Bearer {phone['token']}"}
    return _up(port, "/sync/push", phone["device"], lines, headers)[0]


def _up(
    port: int, path: str, device: str, lines: list[str], headers: dict[str, str]
) -> tuple[float, int]:
    """Seconds, and bytes of bodies sent."""
    sent, start = 0, time.perf_counter()
    with closing(http.client.HTTPConnection("localhost", port)) as connection:
        for first in range(0, len(lines), AT_ONCE):
            some = lines[first : first + AT_ONCE]
            chain = {"device": device, "from_seq": first + 1, "lines": some}
            body = gzip.compress(json.dumps({"app": 1, "chains": [chain]}).encode(), 6)
            answer = _ask(connection, "POST", path, {**headers, **GZIPPED}, body)
            sent += len(body)
            if path != "/":
                _check_kept(json.loads(answer), first)
    return time.perf_counter() - start, sent


GZIPPED = {"Content-Type": "application/json", "Content-Encoding": "gzip"}


def _check_kept(answer: dict[str, Any], first: int) -> None:
    """A figure counts only for work that was done."""
    kept = answer["answers"][0]["kept"]
    if kept != [[first + 1, first + AT_ONCE]]:
        raise RuntimeError(f"asked to keep from {first + 1}, kept {kept}")


def _down(port: int, path: str, headers: dict[str, str]) -> tuple[float, int]:
    """Seconds, and bytes as they came."""
    start = time.perf_counter()
    with closing(http.client.HTTPConnection("localhost", port)) as connection:
        raw = _ask(connection, "GET", path, {**headers, "Accept-Encoding": "gzip"}, b"")
    count = gzip.decompress(raw).count(b"\n")
    if count < EVENTS - 1:
        raise RuntimeError(f"{count} lines came of {EVENTS}")
    return time.perf_counter() - start, len(raw)


def _ask(
    connection: http.client.HTTPConnection,
    method: str,
    path: str,
    headers: dict[str, str],
    body: bytes,
) -> bytes:
    connection.request(method, path, body or None, headers)
    answer = connection.getresponse()
    content = answer.read()
    if answer.status != 200:
        raise RuntimeError(f"{method} {path}: {answer.status} {content[:200]!r}")
    return content
