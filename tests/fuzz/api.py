"""A running server with something behind every address, and questions that keep count."""

from __future__ import annotations

import gzip
import http.client
import json
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.fuzz.watch import rss_mb
from tests.launch.test_serving import children
from tests.programs import Program, beside, running

# Whatever takes longer is taken for hung.
HANGS_S = 30
READY = """
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.contrib.auth.models import User
from django.contrib.sessions.backends.db import SessionStore
from django.core.management import call_command
from shop.demo.load import ensure
from shop.screens.office.proof import link_of
from shop.store import drawings, shops
from shop.store.access import access_batch
from tests.office.asks import asks, set_up
from tests.store.kept import kept
from tests.store.scene import add_phone, give_pin, open_loft
call_command("migrate", verbosity=0)
demo = ensure()
scene = set_up(demo)
outsider = open_loft("elsewhere")
outsider.kettle.presses(3)
outsider.kettle.push()
user = User.objects.create_user("fuzz", is_staff=True)
shops.give_desk(shop_id=demo.id, user_id=user.pk)
session = SessionStore()
session[SESSION_KEY] = str(user.pk)
session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
session[HASH_SESSION_KEY] = user.get_session_auth_hash()
session.save()
drawings.new_proof(shop_id=demo.id, key=scene.picture, number=2, rod_um=14000, days=30, by="x",
    face='{"planned": "<svg/>", "mirror": "<svg/>", "usual": "<svg/>"}')
give_pin(demo.id, "odo")
made = [add_phone(demo, str(n)) for n in range(3)]
answer = {
    "asks": [[name, ask.address(name), ask.data] for name, ask in asks(scene).items()],
    "session": session.session_key,
    "proof": link_of(drawings.proofs(demo.id, scene.picture)[0]),
    "phones": [{"device": one.device, "token": one.token} for one in made],
    "epoch": demo.epoch, "photo": scene.photo, "shop": demo.id,
    "sheet": access_batch(demo.id, "demo-handover").sheet,
    "batches": ["demo-planned", "demo-handover", "demo-next"],
    "elsewhere": outsider.shop.id, "kept": kept(outsider.shop.id),
    "foreign": {"device": outsider.kettle.device, "batch": "b1"},
}
"""
AFTER = """
from shop.models import Aside, Event
from shop.store.verify import broken_links
from tests.store.kept import kept
answer = {{
    "broken": [str(one) for one in broken_links()],
    "kept": kept({elsewhere}),
    "lines": [[e.device.key, e.seq, e.line] for e in
              Event.objects.filter(shop_id={shop}).select_related("device")],
    "asides": [[a.device, a.seq, bytes(a.line).hex()] for a in
               Aside.objects.filter(shop_id={shop})],
}}
"""


@dataclass
class Answered:
    """What came back: `status` 0 where nothing did within the time."""

    status: int
    headers: dict[str, str]
    body: bytes
    seconds: float


@dataclass
class Asked:
    """One question, as it goes over the wire."""

    method: str
    path: str
    headers: dict[str, str] = field(default_factory=dict)
    body: bytes = b""

    def plain(self) -> dict[str, Any]:
        return {**vars(self), "body": self.body.hex()}


@dataclass
class Server:
    """The program under test and what is known of its shop."""

    program: Program
    data: Path
    scene: dict[str, Any]
    more: dict[str, Any]
    line: http.client.HTTPConnection | None = None

    def ask(self, asked: Asked) -> Answered:
        """The answer; asked once more where a kept connection had been closed meanwhile."""
        started = time.monotonic()
        for is_last in (False, True):
            try:
                return self._once(asked, started)
            except TimeoutError:
                break
            except (OSError, http.client.HTTPException):
                self.hang_up()
                if is_last:
                    break
        self.hang_up()
        return Answered(0, {}, b"", time.monotonic() - started)

    def _once(self, asked: Asked, started: float) -> Answered:
        if self.line is None:
            port = self.program.port
            self.line = http.client.HTTPConnection("localhost", port, timeout=HANGS_S)
        self.line.putrequest(asked.method, asked.path, skip_host="Host" in asked.headers)
        sized = (
            {"Content-Length": str(len(asked.body))} if asked.body or asked.method == "POST" else {}
        )
        for name, value in {**sized, **asked.headers}.items():
            self.line.putheader(name, value)
        # A server that has read enough says so and hangs up while the rest still comes.
        with suppress(BrokenPipeError, ConnectionResetError):
            self.line.endheaders(asked.body or None)
        found = self.line.getresponse()
        body = found.read()
        headers = {name.lower(): value for name, value in found.getheaders()}
        if headers.get("content-encoding") == "gzip":
            body = gzip.decompress(body)
        return Answered(found.status, headers, body, time.monotonic() - started)

    def hang_up(self) -> None:
        if self.line is not None:
            self.line.close()
        self.line = None

    def rss(self) -> float:
        """Memory of the server and all its workers [MiB]."""
        left, whole = [self.program.process.pid], 0.0
        while left:
            pid = left.pop()
            left += children(pid)
            whole += rss_mb(pid)
        return round(whole, 1)

    def after(self) -> dict[str, Any]:
        """What the store holds now, read beside the server."""
        found: dict[str, Any] = beside(self.data, AFTER.format(**self.scene), **self.more)
        return found


@contextmanager
def server(data: Path, **more: Any) -> Iterator[Server]:
    """The demo served, as `manage.py demo` does it, with more behind it."""
    with running(data, "demo", **more) as program:
        served = Server(program, data, beside(data, READY, **more), more)
        try:
            yield served
        finally:
            served.hang_up()


def as_json(answered: Answered) -> Any:
    """The whole answer as JSON, or each of its lines."""
    if answered.headers.get("content-type", "").startswith("application/jsonl"):
        return [json.loads(line) for line in answered.body.splitlines()]
    return json.loads(answered.body)
