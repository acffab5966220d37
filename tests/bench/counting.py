"""A TCP proxy that counts: what really went over the wire, the worker's requests included."""

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

CHUNK = 65_536


@dataclass
class Count:
    """Requests seen, where they can be read, and bytes each way."""

    port: int
    paths: list[str] = field(default_factory=list)
    bytes_down: int = 0
    bytes_up: int = 0


@contextmanager
def counting(to_port: int) -> Iterator[Count]:
    """Passes everything on to `to_port` and counts it."""
    listener = socket.create_server(("127.0.0.1", 0))
    count = Count(listener.getsockname()[1])
    threading.Thread(target=_accept, args=(listener, to_port, count), daemon=True).start()
    try:
        yield count
    finally:
        listener.close()


def _accept(listener: socket.socket, to_port: int, count: Count) -> None:
    while True:
        try:
            client, _ = listener.accept()
        except OSError:
            return
        server = socket.create_connection(("127.0.0.1", to_port))
        for source, target, seen in ((client, server, _requests), (server, client, _answers)):
            threading.Thread(
                target=_pass_on, args=(source, target, seen, count), daemon=True
            ).start()


def _pass_on(source: socket.socket, target: socket.socket, seen: object, count: Count) -> None:
    assert callable(seen)
    try:
        while data := source.recv(CHUNK):
            seen(count, data)
            target.sendall(data)
    except OSError:
        pass
    finally:
        for end in (source, target):
            end.close()


def _requests(count: Count, data: bytes) -> None:
    count.bytes_up += len(data)
    lines = data.split(b"\r\n")
    count.paths += [x.split()[1].decode() for x in lines if x.endswith(b" HTTP/1.1")]


def _answers(count: Count, data: bytes) -> None:
    count.bytes_down += len(data)
