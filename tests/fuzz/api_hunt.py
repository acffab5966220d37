"""A hunt over every address of a running server, and what must hold of every answer."""

from __future__ import annotations

import json
import random
import time
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from tests.fuzz.api import HANGS_S, Answered, Asked, Server, as_json, server
from tests.fuzz.office import Office
from tests.fuzz.wire import Wire
from tests.postgres import postgres_server

# What a worker may still take on after the first fifth of a hunt [MiB].
MOST_GROWTH = 64
MOST_BODY = 10 * 2**20
# Given by the server itself, before the program is asked.
BY_SERVER = (400, 414, 431)


class ApiHunt:
    """Asks, holds every answer against the laws, and keeps each kind of fault once."""

    def __init__(self, name: str, served: Server, into: Path) -> None:
        self.server, self.into = served, into
        self.wire, self.office = Wire(served.scene), Office(served.scene)
        self.figures: dict[str, Any] = {"target": name, "executions": 0, "slowest_s": 0.0}
        self.figures |= {"statuses": {}, "faults": {}, "rss_start": 0.0, "rss_end": 0.0}
        into.mkdir(parents=True, exist_ok=True)

    def one(self, number: int) -> None:
        """The question of this number, the same every time for the same state of the shop."""
        chance = random.Random(number)
        maker = self.wire if chance.random() < 0.7 else self.office
        asked = maker.question(chance)
        answered = self.server.ask(asked)
        self._count(asked, answered)
        try:
            check(asked, answered)
            self.wire.heard(asked, answered)
        except (AssertionError, ValueError, KeyError, TypeError, IndexError) as fault:
            self._keep(asked, answered, f"{answered.status} {_address(asked)}: {fault}"[:160])

    def _count(self, asked: Asked, answered: Answered) -> None:
        statuses, status = self.figures["statuses"], str(answered.status)
        statuses[status] = statuses.get(status, 0) + 1
        self.figures["executions"] += 1
        if answered.seconds > self.figures["slowest_s"]:
            self.figures["slowest_s"] = round(answered.seconds, 3)
            self.figures["slowest"] = f"{asked.method} {asked.path[:80]}"

    def _keep(self, asked: Asked, answered: Answered, name: str) -> None:
        faults = self.figures["faults"]
        if name not in faults:
            faults[name] = answered.body[:200].decode("utf-8", "replace")
            path = self.into / f"fault-{len(faults):02}.json"
            path.write_text(json.dumps(asked.plain(), indent=1))

    def until(self, seconds: float) -> dict[str, Any]:
        """Hunts for so long, then looks whether all is there; the figures."""
        began, number = time.monotonic(), 0
        while (passed := time.monotonic() - began) < seconds:
            self.one(number)
            number += 1
            if not self.figures["rss_start"] and passed > seconds / 5:
                self.figures["rss_start"] = self.server.rss()
        self.figures |= {"seconds": round(passed, 1), "rss_end": self.server.rss(), "stopped": 0}
        return self.figures | self.wire.check(self.server.after())


def check(asked: Asked, answered: Answered) -> None:
    """In time, no fault of the server's, and on the wire JSON with a sentence."""
    if not answered.status and len(asked.body) > MOST_BODY and answered.seconds < HANGS_S:
        # The answer was lost with the connection: nobody reads what is over the limit to its end.
        return
    assert answered.status, f"no answer within {HANGS_S} s"
    assert answered.status < 500, "the server's own fault"
    if not asked.path.startswith("/sync/") or asked.method in ("HEAD", "TRACE", "X"):
        return
    if answered.status == 204 or (answered.status in BY_SERVER and not answered.body):
        return
    kind = answered.headers.get("content-type", "")
    if kind.startswith("image/"):
        return
    assert kind.startswith("application/json"), kind
    said = as_json(answered)
    if answered.status >= 400:
        assert set(said) == {"error", "say"}, said
        assert said["say"], said


def _address(asked: Asked) -> str:
    return "/".join(asked.path.split("?")[0].split("/")[:3])


def hunt(name: str, folder: Path, seconds: int) -> dict[str, Any]:
    """`api` on SQLite, or `api-postgres`: figures, also in a file."""
    with ExitStack() as stack:
        more: dict[str, Any] = {}
        if name == "api-postgres":
            more["DATABASE_URL"] = stack.enter_context(postgres_server())
        served = stack.enter_context(server(folder / "data", **more))
        figures = ApiHunt(name, served, folder).until(seconds)
        (folder / "server.log").write_text(served.program.chatter())
    (folder / "figures.json").write_text(json.dumps(figures, indent=1))
    return figures
