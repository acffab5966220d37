"""A phone of a small shop in the program's own store, over the wire of a running server."""

from __future__ import annotations

import http.client
import json
from contextlib import closing
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any

from tests.bench.shop import event_lines
from tests.programs import beside_inside

SHOP = {"KETTLESIDE_SHOP": "shop"}
FILL = """
from shop.management.opening import new_office_password
from django.core.management import call_command
from tests.store.scene import open_loft
call_command("migrate", verbosity=0)
loft = open_loft("shop")
password = new_office_password()
answer = {"device": loft.kettle.device, "token": loft.kettle.token, "password": password}
"""


@dataclass
class Pressing:
    """A phone that pushes, and what it was told is kept."""

    port: int
    device: str
    token: str
    lines: list[str] = field(default_factory=list)
    kept: int = 0

    def ask(self, method: str, path: str, body: bytes | None = None) -> tuple[int, dict[str, Any]]:
        headers = {"Authorization": f"Bearer {self.token}", "Content-Type": "application/json"}
        with closing(http.client.HTTPConnection("localhost", self.port, timeout=30)) as line:
            line.request(method, path, body, headers)
            answer = line.getresponse()
            content = answer.read()
        return answer.status, json.loads(content)

    def push(self, number: int = 50) -> tuple[int, str]:
        """The next so many entries: the status, and the code of an error."""
        wanted = self.kept + number
        if len(self.lines) < wanted:
            self.lines = event_lines(self.device, 2 * wanted, "b1")
        some = self.lines[self.kept : wanted]
        chain = {"device": self.device, "from_seq": self.kept + 1, "lines": some}
        status, said = self.ask("POST", "/sync/push", json.dumps({"chains": [chain]}).encode())
        for answer in said.get("answers", []):
            for _, high in [*answer["had"], *answer["kept"]]:
                self.kept = max(self.kept, high)
        return status, said.get("error", "")

    def acknowledged(self) -> set[str]:
        return set(self.lines[: self.kept])

    def upload(self, content: bytes, start: int) -> tuple[int, dict[str, Any]]:
        """A photo from `start` on."""
        name = sha256(content).hexdigest()
        query = f"from={start}&size={len(content)}&type=image/jpeg"
        return self.ask("POST", f"/sync/file/{name}?{query}", content[start : start + 262_144])


def a_phone(data: Path, port: int, inside: tuple[str, ...] = ()) -> Pressing:
    """A new small shop in `data`, and a phone of it."""
    made = beside_inside(inside, data, FILL, **SHOP)
    return Pressing(port, made["device"], made["token"])
