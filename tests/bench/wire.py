"""A phone on the wire as static/js/sync/exchange.js is one, but without a screen.

It speaks HTTP/1.1 where a browser speaks HTTP/2. What the server spends is comparable: each phone
has its own connection and one request at a time on it, so there is nothing to multiplex; our code
is run in the same way, and the head of a request is some hundred bytes longer for granian to read.
"""

import asyncio
import gzip
import json
import ssl
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any


class WrongAnswer(Exception):
    """The server said something a phone has no use for; a figure counts only without any."""


@dataclass
class Link:
    """A kept connection to this computer's port; over TLS if it knows whom to trust."""

    port: int
    trust: ssl.SSLContext | None = None
    reader: asyncio.StreamReader | None = None
    writer: asyncio.StreamWriter | None = None

    async def ask(self, method: str, path: str, token: str, body: bytes = b"") -> tuple[int, bytes]:
        """Status and unpacked body."""
        reader, writer = await self._ends()
        head = (
            f"{method} {path} HTTP/1.1\r\nHost: localhost:{self.port}\r\n"
            f"Authorization: Bearer {token}\r\nAccept-Encoding: gzip\r\n"
        )
        if body:
            head += f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n"
        writer.write(f"{head}\r\n".encode() + body)
        return await _answer(reader)

    async def _ends(self) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
        # A server hangs up on who is silent for half a minute; a browser then calls again.
        if self.reader is not None and self.reader.at_eof():
            await self.close()
            self.reader = None
        if self.reader is None or self.writer is None:
            name = "localhost" if self.trust else None
            self.reader, self.writer = await asyncio.open_connection(
                "127.0.0.1", self.port, ssl=self.trust, server_hostname=name
            )
        return self.reader, self.writer

    async def close(self) -> None:
        if self.writer is not None:
            self.writer.close()
            await self.writer.wait_closed()


async def _answer(reader: asyncio.StreamReader) -> tuple[int, bytes]:
    head = (await reader.readuntil(b"\r\n\r\n")).decode().lower()
    lines = (line.partition(": ") for line in head.split("\r\n")[1:])
    fields = {name: value for name, _, value in lines}
    if fields.get("transfer-encoding") == "chunked":
        body = await _chunks(reader)
    else:
        body = await reader.readexactly(int(fields.get("content-length", "0")))
    packed = fields.get("content-encoding") == "gzip"
    return int(head[9:12]), gzip.decompress(body) if packed else body


async def _chunks(reader: asyncio.StreamReader) -> bytes:
    whole = b""
    while size := int(await reader.readline(), 16):
        whole += await reader.readexactly(size)
        await reader.readexactly(2)
    await reader.readexactly(2)
    return whole


@dataclass
class Phone:
    """A phone with its place in the shop's log, and the lines it is going to make."""

    link: Link
    device: str
    token: str
    epoch: str
    batches: str
    lines: list[str] = field(default_factory=list)
    # A bare server answers, but not with what a phone would look into.
    bare: bool = False
    cursor: int = 0
    sent: int = 0
    head: str = ""
    news: int = 0
    # What the last poll that brought news said of the shop.
    header: dict[str, Any] = field(default_factory=dict)

    async def poll(self) -> list[str]:
        """What came since the cursor, which it moves."""
        query = f"after={self.cursor}&epoch={self.epoch}&batches={self.batches}"
        status, body = await self.link.ask("GET", f"/sync/pull?{query}", self.token)
        if status == 204:
            return []
        self._check(status == 200, status, body)
        first, *lines = body.decode().rstrip("\n").split("\n")
        header = json.loads(first)
        self._check(header["count"] == len(lines), status, body)
        self.header, self.cursor, self.news = header, header["through"], self.news + 1
        return lines

    async def push(self, number: int = 1) -> None:
        """The next `number` of its lines, as one chain, each press being kept."""
        start, lines = self.sent + 1, self.lines[self.sent : self.sent + number]
        self.press(lines)
        chain = {"device": self.device, "from_seq": start, "lines": lines, "head": self.head}
        message = {"app": 1, "epoch": self.epoch, "chains": [chain]}
        status, body = await self.link.ask(
            "POST", "/sync/push", self.token, json.dumps(message).encode()
        )
        self._check(status == 200 and bool(lines), status, body)
        if not self.bare:
            kept = json.loads(body)["answers"][0]["kept"]
            self._check(kept == [[start, self.sent]], status, body)

    def press(self, lines: list[str]) -> None:
        """Count these as made, in the running head of docs/contracts.md, section 5."""
        for line in lines:
            self.head = sha256((self.head + line).encode()).hexdigest()
        self.sent += len(lines)

    def _check(self, sound: bool, status: int, body: bytes) -> None:
        if not sound:
            raise WrongAnswer(f"{self.device} at {self.sent}: {status} {body[:300]!r}")


def phone_of(told: dict[str, Any], link: Link, *, bare: bool = False) -> Phone:
    """A phone by what tests/bench/shop.py tells of it."""
    known = {name: told[name] for name in ("device", "token", "epoch", "batches")}
    return Phone(link, bare=bare, **known)
