"""A PostgreSQL put back to an older dump gets everything again from the phones."""

from __future__ import annotations

import http.client
import json
import subprocess
from contextlib import closing
from pathlib import Path
from typing import Any

from tests.bench.shop import event_lines
from tests.postgres import running_postgres
from tests.programs import beside, manage, running

FILL = """
from django.core.management import call_command
from tests.store.scene import open_loft
call_command("migrate", verbosity=0)
phone = open_loft().kettle
answer = {"device": phone.device, "token": phone.token}
"""


def ask(port: int, token: str, method: str, path: str, message: Any = None) -> list[str]:
    """The lines of the answer."""
    with closing(http.client.HTTPConnection("localhost", port, timeout=20)) as connection:
        given = {"Authorization": f"Bearer {token}", "Content-Type": "application/json"}
        connection.request(method, f"/sync/{path}", json.dumps(message), given)
        answer = connection.getresponse()
        assert answer.status == 200, answer.status
        return answer.read().decode().splitlines()


def test_after_pg_restore_the_phones_are_asked_for_everything(tmp_path: Path) -> None:
    data, dump = tmp_path / "data", tmp_path / "dump"
    with running_postgres("fsync=off") as server:
        phone = beside(data, FILL, DATABASE_URL=server.url)
        lines = event_lines(phone["device"], 4, "b1")

        def push(port: int, start: int, end: int) -> dict[str, Any]:
            some = lines[start - 1 : end]
            chain = {"device": phone["device"], "from_seq": start, "lines": some}
            [said] = ask(port, phone["token"], "POST", "push", {"chains": [chain]})
            answer: dict[str, Any] = json.loads(said)
            return answer

        with running(data, "serve", DATABASE_URL=server.url) as program:
            before = push(program.port, 1, 2)
            form = ("--format=custom", f"--file={dump}")
            subprocess.run(["pg_dump", *form, server.url], check=True)
            # Acknowledged, and not in the dump.
            assert push(program.port, 3, 4)["answers"][0]["kept"] == [[3, 4]]
        other = server.create("restored")
        too_early = manage(data, "restored", DATABASE_URL=other)
        assert (too_early.returncode, too_early.stdout) == (1, "")
        assert "no shop in this store. Run pg_restore first" in too_early.stderr
        other = server.create("again")
        put_back = ["pg_restore", "--exit-on-error", f"--dbname={other}", str(dump)]
        subprocess.run(put_back, check=True)
        done = manage(data, "restored", DATABASE_URL=other)
        assert "Whole; from now on this is a restored store: loft." in done.stdout, done.stderr
        with running(data, "serve", DATABASE_URL=other) as program:
            after = f"pull?after={before['head']}&epoch={before['epoch']}"
            header, *known = ask(program.port, phone["token"], "GET", after)
            assert json.loads(header)["epoch"] != before["epoch"]
            assert set(known) & set(lines) == set(lines[:2])
            answer = push(program.port, 1, 4)["answers"][0]
            assert (answer["had"], answer["kept"]) == ([[1, 2]], [[3, 4]])
        assert manage(data, "verify", DATABASE_URL=other).stdout.startswith("Whole: 1 shops, 5")


def test_the_embedded_store_has_a_command_that_does_both(tmp_path: Path) -> None:
    done = manage(tmp_path, "restored")
    assert (done.returncode, done.stdout) == (1, "")
    assert "An embedded store is put back by `restore`" in done.stderr
