"""Phones that push as fast as they can to a server that is killed under them."""

from __future__ import annotations

import http.client
import json
import threading
import time
from collections.abc import Callable
from contextlib import closing, suppress
from typing import Any

from tests.bench.shop import event_lines
from tests.programs import wait_until

SHORTAGE = 100
MORE = 50


class Writer(threading.Thread):
    """A phone that pushes small chains and keeps a journal of what was kept."""

    def __init__(self, port: int, phone: dict[str, Any], batch: str = "demo-planned") -> None:
        super().__init__(daemon=True)
        self.port, self.phone, self.batch = port, phone, batch
        self.lines = event_lines(phone["device"], 1000, batch)
        self.acknowledged = 0
        self.stop = threading.Event()

    def run(self) -> None:
        while not self.stop.is_set():
            with suppress(OSError, http.client.HTTPException, ValueError, KeyError):
                self._push_until_it_breaks()
            time.sleep(0.02)

    def _push_until_it_breaks(self) -> None:
        with closing(http.client.HTTPConnection("localhost", self.port, timeout=10)) as connection:
            self._push(connection)

    def _push(self, connection: http.client.HTTPConnection) -> None:
        headers = {
            "Authorization": f"Bearer {self.phone['token']}",
            "Content-Type": "application/json",
        }
        while not self.stop.is_set():
            start = self.acknowledged
            if len(self.lines) - start < SHORTAGE:
                self.lines = event_lines(self.phone["device"], 2 * len(self.lines), self.batch)
            chain = {
                "device": self.phone["device"],
                "from_seq": start + 1,
                "lines": self.lines[start : start + 7],
            }
            connection.request("POST", "/sync/push", json.dumps({"chains": [chain]}), headers)
            [answer] = json.loads(connection.getresponse().read())["answers"]
            # Only what the server names counts; after a lost answer it says it had them.
            for low, high in [*answer["had"], *answer["kept"]]:
                assert low <= self.acknowledged + 1
                self.acknowledged = max(self.acknowledged, high)


def acknowledged(writers: list[Writer]) -> list[str]:
    """Every line the server said it has."""
    return [line for writer in writers for line in writer.lines[: writer.acknowledged]]


def wait_for_more(writers: list[Writer], look_after: Callable[[], None] = lambda: None) -> None:
    """Until some more were acknowledged: the server answers again. Meanwhile somebody may look
    after it."""
    wanted = sum(writer.acknowledged for writer in writers) + MORE

    def more() -> bool:
        look_after()
        return sum(writer.acknowledged for writer in writers) >= wanted

    wait_until(more, 60)


def end(writers: list[Writer]) -> None:
    for writer in writers:
        writer.stop.set()
    for writer in writers:
        writer.join(20)
