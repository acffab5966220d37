"""`manage.py serve` as a shop runs it."""

from __future__ import annotations

import http.client
import os
import signal
import socket
import sqlite3
import ssl
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Playwright

from shop.launch.authority import open_authority
from tests.browsers import phone
from tests.programs import Program, environment, free_port, manage, running, wait_until
from tests.trust import trusting_home


def status(port: int, path: str) -> int:
    connection = http.client.HTTPConnection("localhost", port, timeout=10)
    connection.request("GET", path)
    answer = connection.getresponse()
    answer.read()
    connection.close()
    return answer.status


def is_free(port: int) -> bool:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        return probe.connect_ex(("127.0.0.1", port)) != 0


def test_it_prints_the_addresses_and_the_password_once(tmp_path: Path) -> None:
    with running(tmp_path, "serve") as program:
        office, floor, sign_in = program.said().splitlines()
        assert office == f"office  http://localhost:{program.port}/office/"
        assert floor == f"floor   http://localhost:{program.port}/floor/"
        assert sign_in.startswith("sign-in office ")
        assert status(program.port, "/static/django_htmx/htmx-2.min.js") == 200
        assert str(tmp_path / "shop") in program.chatter()
        # Ctrl-C in a terminal reaches every process of the group.
        program.process.send_signal(signal.SIGINT)
        assert program.process.wait(20) == 0
        assert "Traceback" not in program.chatter()
    with running(tmp_path, "serve") as program:
        assert len(program.said().splitlines()) == 2
    database = tmp_path / "shop" / "kettleside.sqlite3"
    assert stat.S_IMODE(database.stat().st_mode) == 0o600


def test_the_demo_adds_this_browser_and_keeps_what_is_there(tmp_path: Path) -> None:
    floors, rows = [], []
    for _ in range(2):
        with running(tmp_path, "demo", anew=True) as program:
            floors.append(program.said().splitlines()[1])
        with sqlite3.connect(tmp_path / "demo" / "kettleside.sqlite3") as database:
            rows.append(
                database.execute("SELECT count(*), max(position) FROM shop_event").fetchone()
            )
        database.close()
    codes = [floor.partition("/floor/#add=")[2] for floor in floors]
    assert all(len(code) == 6 and code.isdigit() for code in codes)
    assert codes[0] != codes[1]
    assert rows[0] == rows[1]
    assert rows[0][0] > 0
    assert not (tmp_path / "shop").exists()


def test_killed_it_leaves_nothing_behind_and_starts_again(tmp_path: Path) -> None:
    with running(tmp_path, "serve") as program:
        program.process.kill()
        program.process.wait(10)
        wait_until(lambda: is_free(program.port), 10)
    with running(tmp_path, "serve", port=program.port) as again:
        assert status(again.port, "/static/django_htmx/htmx-2.min.js") == 200


def test_a_worker_that_dies_is_replaced(tmp_path: Path) -> None:
    with running(tmp_path, "serve") as program:
        (worker,) = children(program.process.pid)
        os.kill(worker, signal.SIGKILL)
        wait_until(lambda: children(program.process.pid) not in ([], [worker]), 20)
        wait_until(lambda: not is_free(program.port), 20)
        assert status(program.port, "/static/django_htmx/htmx-2.min.js") == 200


def children(parent: int) -> list[int]:
    """The workers, not the resource tracker that Python starts beside them (Linux, proc(5))."""
    threads = Path(f"/proc/{parent}/task").glob("*/children")
    everyone = {int(pid) for path in threads for pid in path.read_text().split()}
    return sorted(
        pid for pid in everyone if b"spawn_main" in Path(f"/proc/{pid}/cmdline").read_bytes()
    )


def test_a_taken_port_is_named_and_not_shared(tmp_path: Path) -> None:
    with running(tmp_path / "one", "serve") as program:
        ended = manage(tmp_path / "other", "serve", "--port", str(program.port))
    assert ended.returncode == 2
    assert f"Port {program.port} can't be used" in ended.stderr
    assert "Traceback" not in ended.stderr


def test_a_bare_address_is_refused_as_a_name(tmp_path: Path) -> None:
    ended = manage(tmp_path, "serve", "--lan", "--no-announce", "--host", "192.0.2.7")
    assert ended.returncode == 2
    assert "'192.0.2.7' can't be this computer's name" in ended.stderr


@pytest.fixture
def on_lan(tmp_path: Path) -> Iterator[Program]:
    first = ("--first-visit-port", str(free_port()))
    lan = ("--lan", "--no-announce", "--host", "sugar-loft.local")
    with running(tmp_path / "data", "serve", *lan, *first) as program:
        yield program


def root_of(program: Program) -> Path:
    return program.data / "authority" / "root.pem"


def serial(program: Program, name: str = "sugar-loft.local") -> str:
    """Serial number of the certificate that the server shows now."""
    context = ssl.create_default_context(cafile=root_of(program))
    with (
        socket.create_connection(("127.0.0.1", program.port), timeout=10) as plain,
        context.wrap_socket(plain, server_hostname=name) as tls,
    ):
        return str((tls.getpeercert() or {})["serialNumber"])


def test_the_links_go_by_name_and_the_fingerprint_is_shown(on_lan: Program) -> None:
    base = f"https://sugar-loft.local:{on_lan.port}"
    assert on_lan.said().splitlines()[:2] == [
        f"office  {base}/office/",
        f"floor   {base}/floor/",
    ]
    wait_until(lambda: "fingerprint" in on_lan.chatter(), 10)
    authority = open_authority(root_of(on_lan).parent, "")
    wait_until(lambda: authority.fingerprint[-11:].replace(":", " ") in on_lan.chatter(), 10)
    assert "█" in on_lan.chatter()


def test_http_2_is_spoken_to_a_phone_that_asks(on_lan: Program) -> None:
    context = ssl.create_default_context(cafile=root_of(on_lan))
    context.set_alpn_protocols(["h2", "http/1.1"])
    with (
        socket.create_connection(("127.0.0.1", on_lan.port), timeout=10) as plain,
        context.wrap_socket(plain, server_hostname="sugar-loft.local") as tls,
    ):
        assert tls.selected_alpn_protocol() == "h2"


def test_a_browser_that_trusts_the_authority_is_in_a_secure_context(
    on_lan: Program, playwright: Playwright, tmp_path: Path
) -> None:
    """What a certificate warning that was clicked past does not give: a service worker may run."""
    home = trusting_home(tmp_path / "home", root_of(on_lan))
    with phone(playwright, tmp_path / "profile", home=home) as context:
        page = context.new_page()
        answer = page.goto(f"https://localhost:{on_lan.port}/static/django_htmx/htmx-2.min.js")
        assert answer is not None
        assert answer.status == 200
        assert page.evaluate("isSecureContext && 'serviceWorker' in navigator")
        policy = answer.security_details()
        assert policy is not None
        assert policy["issuer"] == "Kettleside on sugar-loft.local"


def test_a_browser_that_does_not_trust_it_refuses(
    on_lan: Program, playwright: Playwright, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "profile", home=tmp_path) as context:
        page = context.new_page()
        with pytest.raises(Exception, match="ERR_CERT_AUTHORITY_INVALID"):
            page.goto(f"https://localhost:{on_lan.port}/floor/")


RENEWING = """
import sys
from pathlib import Path
from shop.launch.authority import current_leaf, open_authority
from shop.launch.server import Listening, serve

if __name__ == "__main__":
    folder, port = Path(sys.argv[1]), int(sys.argv[2])
    authority = open_authority(folder, "sugar-loft.local")
    names = ["sugar-loft.local", "localhost", "127.0.0.1"]

    def renew():
        if not (folder / "due").exists():
            return False
        (folder / "due").unlink()
        (folder / "leaf.pem").unlink()
        current_leaf(authority, names)
        return True

    serve(
        Listening("127.0.0.1", port, current_leaf(authority, names), folder / "root.pem"),
        on_ready=lambda: print("floor", flush=True), renew=renew, check_every=0.2,
    )
"""


def test_a_renewed_leaf_is_shown_without_a_restart(tmp_path: Path) -> None:
    script = tmp_path / "renewing.py"
    script.write_text(RENEWING)
    folder, port = tmp_path / "authority", free_port()
    with subprocess.Popen(
        [sys.executable, str(script), str(folder), str(port)],
        env=environment(tmp_path, PYTHONPATH=str(Path(__file__).resolve().parents[2])),
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        try:
            assert process.stdout is not None
            assert process.stdout.readline() == "floor\n"
            program = Program(process, tmp_path, port, tmp_path, tmp_path)
            before = serial(program)
            assert serial(program) == before
            (folder / "due").touch()
            wait_until(lambda: serial(program) != before, 20)
        finally:
            process.terminate()
