"""A TCP proxy between a phone and its server that fails in the ways a workshop's Wi-Fi does.

Throttling in the browser does not reach its worker; this does.
"""

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass

CHUNK = 65_536
BODY = b"<!doctype html><title>Guest Wi-Fi</title><h1>PLEASE LOG IN</h1>"
# 200 and HTML to whatever is asked: the worst a guest network does.
LOGIN_PAGE = (
    f"HTTP/1.1 200 OK\r\nContent-Type: text/html\r\nContent-Length: {len(BODY)}\r\n\r\n".encode()
    + BODY
)


@dataclass
class Line:
    """The way to the server. `fault` may be changed at any time; what is asked next meets it.

    `""` passes everything on; `gone` closes in place of an answer; `silent` never answers;
    `answers lost` lets requests through and closes in place of the answer; `uploads cut` closes
    after `cut_after` bytes of a request; `captive` answers every request with a login page.
    """

    port: int
    fault: str = ""
    cut_after: int = 400
    lost: int = 0


@contextmanager
def faulty_line(to_port: int) -> Iterator[Line]:
    """A line to `localhost:to_port` on a port of its own."""
    listener = socket.create_server(("127.0.0.1", 0))
    line = Line(listener.getsockname()[1])
    threading.Thread(target=_accept, args=(listener, to_port, line), daemon=True).start()
    try:
        yield line
    finally:
        listener.close()


def _accept(listener: socket.socket, to_port: int, line: Line) -> None:
    while True:
        try:
            client, _ = listener.accept()
        except OSError:
            return
        threading.Thread(target=_serve, args=(client, to_port, line), daemon=True).start()


def _serve(client: socket.socket, to_port: int, line: Line) -> None:
    with suppress(OSError), client, socket.create_connection(("127.0.0.1", to_port)) as server:
        back = threading.Thread(target=_answers, args=(server, client, line), daemon=True)
        back.start()
        _requests(client, server, line)
        _hang_up(client, server)
        back.join()


def _requests(client: socket.socket, server: socket.socket, line: Line) -> None:
    """Until the line is closed, by either end or by a fault."""
    with suppress(OSError):
        while data := client.recv(CHUNK):
            if line.fault == "gone":
                return
            if line.fault == "captive":
                client.sendall(LOGIN_PAGE)
            elif line.fault == "uploads cut" and data.startswith(b"POST"):
                server.sendall(data[: line.cut_after])
                line.lost += 1
                return
            elif line.fault != "silent":
                server.sendall(data)


def _answers(server: socket.socket, client: socket.socket, line: Line) -> None:
    with suppress(OSError):
        while data := server.recv(CHUNK):
            if line.fault == "answers lost":
                line.lost += 1
                break
            client.sendall(data)
    _hang_up(client, server)


def _hang_up(*ends: socket.socket) -> None:
    for end in ends:
        with suppress(OSError):
            end.shutdown(socket.SHUT_RDWR)
