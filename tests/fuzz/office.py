"""The desk's pages asked for anything: every address of the program's own tables, with what its
forms say, left out, doubled or replaced; and files that are no pictures."""

from __future__ import annotations

import random
from typing import Any
from urllib.parse import quote, urlencode, urlsplit

from tests.fuzz.api import Asked
from tests.fuzz.keeping import seeds
from tests.fuzz.targets import as_picture
from tests.fuzz.trees import LONG, NAMES, TEXTS
from tests.fuzz.wire import odd_part

# Whoever asks here would be signed out, or have another password.
LEFT_OUT = {"office-leave", "office-password", "office-enter"}
# Each sets minutes of work going in a process of its own.
SLOW = ("office-picture", "office-proof")
TOKEN = "k" * 32
EDGE = "----kettleside"
VALUES = (
    *TEXTS[:12],
    *NAMES[:2],
    LONG[0],
    "-1",
    "0",
    "1e999",
    "nan",
    "9" * 400,
    "2026-13-40",
    "on",
)
METHODS = ("GET", "GET", "GET", "POST", "POST", "HEAD", "PUT", "DELETE", "OPTIONS")
Chance = random.Random


class Office:
    """A signed-in user of the desk whose browser has gone mad, and a customer's link."""

    def __init__(self, scene: dict[str, Any]) -> None:
        self.asks = [ask for ask in scene["asks"] if ask[0] not in LEFT_OUT]
        self.scene = scene
        self.headers = {
            "Cookie": f"sessionid={scene['session']}; csrftoken={TOKEN}",
            "X-CSRFToken": TOKEN,
        }
        self.pictures = seeds("image")

    def question(self, chance: Chance) -> Asked:
        """Any one question to any address of the desk, or to the customer's page."""
        if chance.random() < 0.05:
            return self._proof(chance)
        if chance.random() < 0.03:
            return self._upload(chance)
        name, address, data = chance.choice(self.asks)
        if name.startswith(SLOW) and chance.random() < 0.7:
            name, address, data = chance.choice(self.asks)
        method = chance.choice(METHODS)
        path = self._path(address, chance)
        if method != "POST":
            return Asked(method, path, dict(self.headers))
        headers = {**self.headers, "Content-Type": "application/x-www-form-urlencoded"}
        return Asked(method, path, headers, self._form(data or {}, chance))

    def _path(self, address: str, chance: Chance) -> str:
        """The address, one of its parts another, and a query that nobody asked for."""
        parts = urlsplit(address).path.split("/")
        if chance.random() < 0.3:
            at = chance.randrange(2, len(parts))
            parts[at] = chance.choice((odd_part(chance), f"brought-{chance.randrange(40)}"))
        path = "/".join(parts)
        if chance.random() < 0.4:
            keys = chance.choices(
                ("q", "page", "after", "a", "b", "kind", "sort", "from", "to"), k=2
            )
            path += "?" + "&".join(f"{key}={odd_part(chance)}" for key in keys)
        return path

    def _form(self, data: dict[str, Any], chance: Chance) -> bytes:
        pairs = [(k, v) for k, values in data.items() for v in _each(values)]
        for _ in range(chance.randrange(4)):
            if not pairs:
                pairs.append((chance.choice(("text", "name", "key")), chance.choice(VALUES)))
                continue
            at = chance.randrange(len(pairs))
            act = chance.random()
            if act < 0.6:
                pairs[at] = (pairs[at][0], chance.choice(VALUES))
            elif act < 0.8:
                pairs.append((pairs[at][0], chance.choice(VALUES)))
            else:
                del pairs[at]
        if chance.random() < 0.02:
            return chance.choice((b"%", b"=&=&", b"a" * 3_000_000, b"\xff\0", b"&" * 5000))
        return urlencode(pairs, errors="replace").encode()

    def _proof(self, chance: Chance) -> Asked:
        link = self.scene["proof"]
        if chance.random() < 0.6:
            at = chance.randrange(8, len(link) - 1)
            link = link[:at] + chance.choice((":", "A", "%00", "%ff", "", ".")) + link[at + 1 :]
        cookie = {"Cookie": f"csrftoken={TOKEN}", "X-CSRFToken": TOKEN}
        cookie["Content-Type"] = "application/x-www-form-urlencoded"
        yes = {"seen": "on", "varies": chance.choice(("on", "")), "name": chance.choice(VALUES)}
        if chance.random() < 0.5:
            return Asked("GET", link, {"Cookie": cookie["Cookie"]})
        return Asked("POST", link, cookie, self._form(yes, chance))

    def _upload(self, chance: Chance) -> Asked:
        """A picture that is none, is broken, is also something else, or says it is gigantic."""
        data = as_picture(chance.choice(self.pictures), chance)
        if chance.random() < 0.2:
            data = chance.choice((data + b"PK\3\4<script>", b"GIF89a" + data, GIANT, b"", data[:9]))
        fields = {"kind": "file", "title": chance.choice(("Star", *TEXTS[:4])), "log": "11"}
        fields |= {"rod": "14", "colours": chance.choice(("4", "", "99", "x")), "background": ""}
        headers = {**self.headers, "Content-Type": f"multipart/form-data; boundary={EDGE}"}
        return Asked("POST", "/office/pictures/new/", headers, multipart(fields, data))


GIANT = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000100000001000008020000007d0e8a1e0000000049454e44ae426082"
)


def multipart(fields: dict[str, str], picture: bytes) -> bytes:
    """A form with one file (RFC 7578)."""
    lines = [
        f'--{EDGE}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'
        for name, value in fields.items()
    ]
    head = (
        f'--{EDGE}\r\nContent-Disposition: form-data; name="file"; filename="{quote("a.png")}"\r\n'
    )
    text = "".join(lines).encode("utf-8", "surrogatepass")
    tail = f"\r\n--{EDGE}--\r\n".encode()
    return text + head.encode() + b"Content-Type: image/png\r\n\r\n" + picture + tail


def _each(values: Any) -> list[str]:
    return [str(v) for v in values] if isinstance(values, list) else [str(values)]
