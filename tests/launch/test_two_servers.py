"""Two servers on one embedded store: the second is refused; forced past that, nothing is lost."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

from tests.launch.pressing import SHOP, Pressing, a_phone
from tests.launch.writers import Writer, acknowledged, end, wait_for_more
from tests.programs import ROOT, beside, environment, free_port, manage, running, wait_until


def lines(data: Path) -> set[str]:
    with closing(sqlite3.connect(data / "shop" / "kettleside.sqlite3")) as store:
        return {line for (line,) in store.execute("SELECT line FROM shop_event")}


def test_a_second_server_is_refused_and_the_first_goes_on(tmp_path: Path) -> None:
    phone = a_phone(tmp_path, free_port())
    with running(tmp_path, "serve", port=phone.port) as program:
        second = manage(tmp_path, "serve", "--port", str(free_port()), **SHOP)
        assert second.returncode == 2
        assert "is served already" in second.stderr
        assert manage(tmp_path, "upgrade").returncode == 2
        assert phone.push() == (200, "")
        # Killed without a word it holds nothing any more.
        program.process.kill()
        program.process.wait(20)
    with running(tmp_path, "serve", port=phone.port):
        assert phone.push() == (200, "")
    assert phone.acknowledged() <= lines(tmp_path)


FORCED = """
from granian.constants import Interfaces
from granian.server.mp import MPServer
import multiprocessing, sys
if __name__ == "__main__":
    multiprocessing.set_start_method("spawn", force=True)
    MPServer("shop.wsgi:application", address="127.0.0.1", port=int(sys.argv[1]),
             interface=Interfaces.WSGI, workers=1, blocking_threads=1).serve()
"""


def answers(phone: Pressing) -> bool:
    try:
        return phone.push(1)[0] == 200
    except OSError:
        return False


def test_forced_past_the_refusal_both_write_in_turn_and_nothing_is_lost(tmp_path: Path) -> None:
    """As somebody would who starts the application in a server of their own."""
    script = tmp_path / "forced.py"
    script.write_text(FORCED)
    phone, other = a_phone(tmp_path, free_port()), free_port()
    two = [{"device": phone.device, "token": phone.token}, second_phone(tmp_path)]
    with running(tmp_path, "serve", port=phone.port):
        own = environment(tmp_path, PYTHONPATH=str(ROOT), DJANGO_SETTINGS_MODULE="shop.settings")
        with subprocess.Popen([sys.executable, str(script), str(other)], cwd=ROOT, env=own) as by:
            try:
                wait_until(lambda: answers(Pressing(other, two[0]["device"], phone.token)), 60)
                ports = (phone.port, other)
                writers = [Writer(port, one, "b1") for port, one in zip(ports, two, strict=True)]
                for writer in writers:
                    writer.start()
                for _ in range(6):
                    wait_for_more(writers)
                end(writers)
            finally:
                by.terminate()
    assert all(writer.acknowledged > 0 for writer in writers)
    assert set(acknowledged(writers)) <= lines(tmp_path)
    assert manage(tmp_path, "verify").stdout.startswith("Whole")


def second_phone(data: Path) -> dict[str, str]:
    code = """
from shop.store import access
from tests.store.scene import add_phone
made = add_phone(access.only_shop())
answer = {"device": made.device, "token": made.token}
"""
    found: dict[str, str] = beside(data, code, **SHOP)
    return found
