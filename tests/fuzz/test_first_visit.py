"""The plain page that anybody on the network may ask: any bytes at all are answered or hung up."""

import errno
import random
import socket
from pathlib import Path

from shop.launch.authority import open_authority
from shop.launch.first_visit import Place, first_visit_server, pages

GOOD = b"GET / HTTP/1.1\r\nHost: loft.local\r\nConnection: close\r\n\r\n"
PATHS = (b"/", b"/kettleside.crt", b"/%00", b"/../../etc/passwd", b"/" + b"a" * 70_000, b"*", b"")
METHODS = (b"GET", b"HEAD", b"POST", b"X", b"\xff", b"")
ODD = (b"\0", b"\r\n", b"\n", b" ", b"\xff\xfe", b":", b"HTTP/9.9")


def question(chance: random.Random) -> bytes:
    """A request, some bytes of it others."""
    line = chance.choice(METHODS) + b" " + chance.choice(PATHS) + b" HTTP/1.1\r\n"
    whole = line + b"Host: loft.local\r\nConnection: close\r\n\r\n"
    at = chance.randrange(len(whole))
    return whole[:at] + chance.choice((*ODD, b"")) + whole[at + 1 :]


def said(port: int, data: bytes) -> bytes:
    """All that comes back; nothing where the server hung up."""
    with socket.create_connection(("127.0.0.1", port), timeout=60) as line:
        try:
            line.sendall(data)
            line.shutdown(socket.SHUT_WR)
            return b"".join(iter(lambda: line.recv(65_536), b""))
        except OSError as error:
            # Hung up before all was sent; a time-out is an OSError too, and no answer.
            if isinstance(error, ConnectionError) or error.errno == errno.ENOTCONN:
                return b""
            raise


def test_odd_bytes_are_answered_and_the_page_is_still_there(tmp_path: Path) -> None:
    authority = open_authority(tmp_path, "loft.local")
    place = Place("loft.local", "https://loft.local:8443", 8080, "192.0.2.7")
    chance = random.Random(34)
    with first_visit_server("127.0.0.1", 0, pages(authority, place)) as port:
        for _ in range(150):
            first = said(port, question(chance)).partition(b"\r\n")[0]
            # RFC 9110, 15.6.2: a method that is not known is answered with 501.
            assert b" 500 " not in first, first
            assert b"root:" not in first
        assert b" 200 " in said(port, GOOD).partition(b"\r\n")[0]
