"""The service: its unit as systemd itself reads and rates it, and the very command it starts, run
by an account that may do as little.

Here is no systemd as the first process: that the unit was started is not proved. What its lines
promise is systemd's own; what the program needs of it is tried here by the same means of the
kernel: no rights, a read-only file system but for the data, a /proc with processes alone.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

from shop.launch import notify, service
from shop.launch.errors import NoPlaceForServiceError
from shop.launch.service import Service, command, unit
from tests.programs import ROOT, free_port, manage

OPT = Service(Path("/opt/kettleside"), Path("/usr/bin/python3"), ["--lan"], [8443, 8080])
# systemd-analyze rates from 0 (closed) to 10 (open) and calls up to 2 'OK' in green.
MOST_EXPOSED = 2.0


def rated(text: str, folder: Path) -> float:
    path = folder / "kettleside-rated.service"
    path.write_text(text)
    done = subprocess.run(
        ["systemd-analyze", "security", "--offline=yes", "--no-pager", str(path)],
        capture_output=True,
        text=True,
        check=False,
    )
    found = re.search(r"exposure level for .*?: ([\d.]+)", done.stdout)
    assert found, done.stdout + done.stderr
    return float(found[1])


def verified(text: str, folder: Path) -> str:
    """What systemd has to say against the unit, of what is about our file."""
    path = folder / "kettleside-tried.service"
    path.write_text(text)
    done = subprocess.run(
        ["systemd-analyze", "verify", "--man=no", str(path)],
        capture_output=True,
        text=True,
        check=False,
    )
    return "\n".join(line for line in done.stderr.splitlines() if path.name in line)


@pytest.fixture
def here() -> Service:
    """The program as it lies here."""
    return Service(ROOT, Path("/usr/bin/python3"), ["--port", "8000"], [8000])


@pytest.fixture(autouse=True)
def nothing_hidden(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests may lie in a home or in /tmp; that such places are refused is asked by its own test."""
    if "refused" not in request.node.name:
        monkeypatch.setattr(service, "HIDDEN", ())


def test_systemd_reads_every_line(here: Service, tmp_path: Path) -> None:
    assert verified(unit(here), tmp_path) == ""
    # And says so where it does not.
    assert "NoNewPriviliges" in verified(
        unit(here).replace("NoNewPrivileges", "NoNewPriviliges"), tmp_path
    )


def test_it_is_exposed_as_little_as_systemd_can_tell(here: Service, tmp_path: Path) -> None:
    level = rated(unit(here), tmp_path)
    print(f"exposure {level}")
    assert level <= MOST_EXPOSED
    # The figure follows the lines: a unit without them is rated open.
    bare = re.sub(
        r"(?m)^(Protect|Private|Restrict|System|NoNew|Capab|User|Group).*\n", "", unit(here)
    )
    assert rated(bare, tmp_path) > 8


def test_a_low_port_gets_the_one_right_it_needs() -> None:
    low = unit(Service(OPT.root, OPT.python, ["--lan"], [443, 80]))
    assert "AmbientCapabilities=CAP_NET_BIND_SERVICE\n" in low
    assert "AmbientCapabilities" not in unit(OPT)
    assert "CapabilityBoundingSet=\n" in unit(OPT)


@pytest.mark.parametrize(
    "path", ["/home/maren/kettleside", "/root/k", "/run/user/1/k", "/opt/my kettle"]
)
def test_where_a_service_sees_nothing_it_is_refused(path: str) -> None:
    with pytest.raises(NoPlaceForServiceError, match="/opt/kettleside"):
        unit(Service(Path(path), OPT.python, [], [8000]))
    with pytest.raises(NoPlaceForServiceError):
        unit(Service(OPT.root, Path(path) / "bin" / "python", [], [8000]))


def test_the_command_is_one_that_a_shell_reads(tmp_path: Path) -> None:
    script = tmp_path / "kettleside"
    script.write_text(command(OPT))
    assert subprocess.run(["sh", "-n", str(script)], check=False).returncode == 0
    assert "runuser -u kettleside -- env KETTLESIDE_DATA=/var/lib/kettleside" in command(OPT)


def test_printing_changes_nothing_and_names_what_serve_is_asked(tmp_path: Path) -> None:
    words = ("--lan", "--host", "sugar-loft.local", "--print")
    shown = manage(tmp_path, "install_service", *words)
    if shown.returncode:
        # The packages of this Python lie where a service sees nothing.
        assert "can't be run as a service" in shown.stderr
        return
    assert "serve --lan --host sugar-loft.local --first-visit-port 8080" in shown.stdout


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that another account can reach."""
    made = Path(tempfile.mkdtemp(prefix="kettleside-", dir="/var/tmp"))
    made.chmod(0o755)
    yield made
    shutil.rmtree(made, ignore_errors=True)


NOBODY = 65534
OTHER = ("setpriv", f"--reuid={NOBODY}", f"--regid={NOBODY}", "--clear-groups")
NO_RIGHTS = ("--inh-caps=-all", "--no-new-privs", "--bounding-set=-all")
HELD = """
set -e
mount --bind {data} {data}
mount --bind {notify} {notify}
mount -o remount,bind,ro /
mount -t proc -o subset=pid proc /proc
cd {root}
exec {drop} env -i PATH=/usr/bin:/bin {variables} {start}
"""


def another_account() -> tuple[str, ...]:
    """How to become another account: nothing where this one is no root, or where the Python of
    these tests lies in root's own home; then root itself is left without a single right."""
    if os.geteuid() != 0:
        return ("setpriv",)
    reached = subprocess.run([*OTHER, "test", "-x", sys.executable], check=False)
    return ("setpriv",) if reached.returncode else OTHER


@dataclass(frozen=True)
class Held:
    """The service's own command, held as the unit holds it."""

    process: subprocess.Popen[bytes]
    manager: socket.socket
    data: Path
    log: Path
    account: int


@contextmanager
def held(folder: Path, port: int) -> Iterator[Held]:
    data, told, log = folder / "data", folder / "told", folder / "log"
    drop = another_account()
    account = NOBODY if drop == OTHER else os.geteuid()
    for made in (data, told):
        made.mkdir()
        os.chown(made, account, -1)
    text = unit(Service(ROOT, Path(sys.executable), ["--port", str(port)], [port], data=data))
    [start], [own] = (
        re.findall(f"(?m)^{name}=(.+)$", text) for name in ("ExecStart", "Environment")
    )
    more = f"NOTIFY_SOCKET={told}/it WATCHDOG_USEC=1000000 PYTHONPATH={ROOT}"
    script = HELD.format(
        data=data,
        notify=told,
        root=ROOT,
        drop=" ".join([*drop, *NO_RIGHTS]),
        variables=f"{own} {more}",
        start=start,
    )
    alone = ["--mount"] if os.geteuid() == 0 else ["--mount", "--user", "--map-root-user"]
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as manager, log.open("w") as out:
        manager.bind(f"{told}/it")
        os.chown(f"{told}/it", account, -1)
        manager.settimeout(60)
        command = ["unshare", *alone, "sh", "-c", script]
        with subprocess.Popen(command, stderr=out, stdout=out) as process:
            try:
                yield Held(process, manager, data, log, account)
            finally:
                process.terminate()


def test_the_very_command_serves_without_rights_on_a_read_only_computer(
    open_folder: Path,
) -> None:
    port = free_port()
    with held(open_folder, port) as ours:
        assert ours.manager.recv(64) == b"READY=1", ours.log.read_text()
        assert ours.manager.recv(64) == b"WATCHDOG=1"
        with urllib.request.urlopen(f"http://localhost:{port}/health") as answer:
            assert json.load(answer)["database"] is True
        status = Path(f"/proc/{ours.process.pid}/status").read_text()
        assert re.search(rf"^Uid:\t{ours.account}\t", status, re.M)
        assert re.search(r"^CapEff:\t0+$", status, re.M)
        assert re.search(r"^NoNewPrivs:\t1$", status, re.M)
    print(f"as account {ours.account}")
    lines = [json.loads(line) for line in ours.log.read_text().splitlines()]
    assert "Kettleside serves." in [line["say"] for line in lines]
    # The desk's password, and a link that adds a phone, do not get into a log that is kept.
    assert not [word for word in ("sign-in", "#add=") if word in json.dumps(lines)]
    assert (ours.data / "shop" / "kettleside.sqlite3").exists()


def test_where_nobody_watches_nothing_is_sent(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NOTIFY_SOCKET", raising=False)
    assert notify.notify("READY=1") is False
    monkeypatch.delenv("WATCHDOG_USEC", raising=False)
    assert notify.watched_every() is None
    monkeypatch.setenv("WATCHDOG_USEC", "120000000")
    assert notify.watched_every() == 60


def test_a_server_that_does_not_answer_does_not_say_that_it_lives(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Watched every half a second; it answers twice, then hangs, then the test ends it."""
    sent: list[str] = []
    answers = iter([True, True, False, False])
    monkeypatch.setenv("WATCHDOG_USEC", "2000")
    monkeypatch.setattr(notify, "notify", sent.append)
    with pytest.raises(StopIteration):
        notify.stay_watched(lambda: next(answers))
    assert sent == ["WATCHDOG=1"] * 2
