"""The server killed again and again while phones write: what it acknowledged is there."""

from __future__ import annotations

import http.client
import json
import threading
import time
from contextlib import closing, suppress
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from tests.bench.exchange import push_up
from tests.bench.shop import add_phone, event_lines
from tests.phone.conftest import stored
from tests.programs import free_port, manage, running, wait_until


class Writer(threading.Thread):
    """A phone that pushes small chains as fast as it can and keeps a journal of what was kept."""

    def __init__(self, port: int, phone: dict[str, Any]) -> None:
        super().__init__(daemon=True)
        self.port, self.phone = port, phone
        self.lines = event_lines(phone["device"], 200_000)
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


def _acknowledged(writers: list[Writer]) -> int:
    return sum(writer.acknowledged for writer in writers)


def _have_acknowledged(writers: list[Writer], wanted: int) -> bool:
    return _acknowledged(writers) >= wanted


@pytest.mark.parametrize("times", [3, pytest.param(200, marks=pytest.mark.long)])
def test_killed_under_writing_load_the_server_lost_nothing_it_acknowledged(
    tmp_path: Path, times: int
) -> None:
    data, port = tmp_path / "data", free_port()
    writers: list[Writer] = []
    for _ in range(times):
        with running(data, "demo", port=port) as program:
            if not writers:
                writers = [Writer(port, add_phone(data)) for _ in range(2)]
                for writer in writers:
                    writer.start()
            wanted = _acknowledged(writers) + 50
            wait_until(partial(_have_acknowledged, writers, wanted), 60)
            program.process.kill()
    for writer in writers:
        writer.stop.set()
    for writer in writers:
        writer.join(20)
    there = stored(data)
    acknowledged = [line for w in writers for line in w.lines[: w.acknowledged]]
    print(f"{times} kills, {len(acknowledged)} acknowledged")
    assert set(acknowledged) - there == set()
    assert manage(data, "verify", KETTLESIDE_SHOP="demo").stdout.startswith("Whole")


@pytest.mark.long
def test_a_million_events_through_the_exchange(tmp_path: Path) -> None:
    data, each, phones = tmp_path / "data", 100_000, 10
    with running(data, "demo") as program:
        before = len(stored(data))
        for _ in range(phones):
            phone = add_phone(data)
            push_up(program.port, phone, event_lines(phone["device"], each))
    assert len(stored(data)) == before + each * phones
