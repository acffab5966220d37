"""Server, workers, back ends and database killed again and again while phones write.

What was acknowledged is there, and the server goes on by itself wherever its own process lives.
Where that is killed, the test starts it again, as a service manager would; so it does where the
server gives up, which it does when a worker dies within seconds of its start (granian's own rule).
"""

from __future__ import annotations

import os
import random
import signal
from collections import Counter
from contextlib import ExitStack, suppress
from pathlib import Path

import psycopg
import pytest

from tests.launch.test_serving import children
from tests.launch.writers import Writer, acknowledged, end, wait_for_more
from tests.postgres import Server, running_postgres
from tests.programs import Program, beside, free_port, manage, running

KINDS = ("server", "worker", "back end", "database")
WRITERS = 4
FILL = f"""
from django.core.management import call_command
from tests.store.scene import add_phone, open_loft
call_command("migrate", verbosity=0)
shop = open_loft("shop").shop
made = [add_phone(shop) for _ in range({WRITERS})]
answer = [{{"device": phone.device, "token": phone.token}} for phone in made]
"""


class Service:
    """`serve` with two processes, and whoever starts it again when it has ended."""

    def __init__(self, data: Path, database: Server, port: int) -> None:
        self.data, self.database, self.port = data, database, port
        self.stack = ExitStack()
        self.kills: Counter[str] = Counter()
        self.starts = 0
        self.program = self._start()

    def _start(self) -> Program:
        serve = ("serve", "--processes", "2")
        url = self.database.url
        started = running(self.data, *serve, port=self.port, DATABASE_URL=url)
        return self.stack.enter_context(started)

    def kill(self, kind: str) -> None:
        """One of the four, without a word before it."""
        self.kills[kind] += 1
        if kind == "server":
            self.program.process.kill()
            self.program.process.wait(20)
        elif kind == "worker":
            _kill(random.choice(children(self.program.process.pid) or [0]))
        elif kind == "back end":
            _kill(random.choice(self.database.back_ends() or [0]))
        else:
            self.database.stop()
            self.database.start()

    def look_after(self) -> None:
        """Started again where its own process is gone; nothing is done for it otherwise."""
        if self.program.process.poll() is not None:
            self.starts += 1
            self.stack.close()
            self.program = self._start()


def _kill(process: int) -> None:
    with suppress(ProcessLookupError):
        if process:
            os.kill(process, signal.SIGKILL)


@pytest.mark.parametrize("times", [4, pytest.param(200, marks=pytest.mark.long)])
def test_whatever_is_killed_under_writing_load_nothing_acknowledged_is_lost(
    tmp_path: Path, times: int
) -> None:
    data, port = tmp_path / "data", free_port()
    with running_postgres() as database:
        phones = beside(data, FILL, DATABASE_URL=database.url)
        writers = [Writer(port, phone, "b1") for phone in phones]
        service = Service(data, database, port)
        with service.stack:
            for writer in writers:
                writer.start()
            # Each kind as often as the others, in any order.
            kinds = [KINDS[n % len(KINDS)] for n in range(times)]
            for kind in random.sample(kinds, len(kinds)):
                wait_for_more(writers, service.look_after)
                service.kill(kind)
            wait_for_more(writers, service.look_after)
            whole = manage(data, "verify", DATABASE_URL=database.url)
            assert whole.stdout.startswith("Whole"), whole.stderr
            end(writers)
            service.stack.close()
        with psycopg.connect(database.url) as store:
            there = {line for (line,) in store.execute("SELECT line FROM shop_event")}
        told = acknowledged(writers)
        whole = manage(data, "verify", DATABASE_URL=database.url)
    missing = set(told) - there
    print(
        f"killed {dict(service.kills)}; the server was started again {service.starts} times; "
        f"{len(told)} acknowledged, {len(missing)} missing"
    )
    assert missing == set()
    assert len(told) == len(set(told))
    assert whole.stdout.startswith("Whole"), whole.stderr
