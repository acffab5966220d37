"""A PostgreSQL server of our own, as Debian packs it, in a folder that goes away."""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from shop.launch.tools import POSTGRES


@dataclass(frozen=True)
class Server:
    """A server in its folder, and the address of the one database on it."""

    folder: Path
    settings: tuple[str, ...]

    @property
    def url(self) -> str:
        return self.database("kettleside")

    def database(self, name: str) -> str:
        """The address of a database on this server."""
        return f"postgresql://shop@/{name}?host={self.folder}"

    def create(self, name: str) -> str:
        """A further database, empty; its address."""
        _run("createdb", "--host", self.folder, "--username", "shop", name)
        return self.database(name)

    def start(self) -> None:
        own = ("listen_addresses=''", f"unix_socket_directories={self.folder}", *self.settings)
        listen = " ".join(f"-c {setting}" for setting in own)
        _run(*self._ctl, "--log", self.folder / "log", "-w", "-o", listen, "start")

    def stop(self) -> None:
        """As in a power cut: every back end ends at once, and the next start replays the log."""
        _run(*self._ctl, "-m", "immediate", "stop")

    def back_ends(self) -> list[int]:
        """Processes that serve a connection, whoever made it (Linux, proc(5))."""
        postmaster = int((self.folder / "data" / "postmaster.pid").read_text().split()[0])
        children = Path(f"/proc/{postmaster}/task/{postmaster}/children").read_text().split()
        titles = {int(pid): _title(pid) for pid in children}
        return [pid for pid, title in titles.items() if " shop kettleside " in title]

    @property
    def _ctl(self) -> tuple[str, str, Path]:
        return "pg_ctl", "--pgdata", self.folder / "data"


@contextmanager
def running_postgres(*settings: str) -> Iterator[Server]:
    """A server with one empty database. Without `settings` as installed: every commit waits for
    the disk."""
    folder = Path(tempfile.mkdtemp(prefix="pg", dir="/tmp"))  # a socket's path is short
    if os.geteuid() == 0:
        # The server refuses to run as root.
        account = pwd.getpwnam("postgres")
        os.chown(folder, account.pw_uid, account.pw_gid)
    server = Server(folder, settings)
    try:
        _run("initdb", "--pgdata", folder / "data", "--auth", "trust", "--username", "shop")
        server.start()
        try:
            server.create("kettleside")
            yield server
        finally:
            server.stop()
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def postgres_server(*settings: str) -> Iterator[str]:
    """Address of the one database of a server of our own."""
    with running_postgres(*settings) as server:
        yield server.url


def _title(pid: str) -> str:
    try:
        return Path(f"/proc/{pid}/cmdline").read_text().replace("\0", " ")
    except OSError:
        return ""


def _run(program: str, *arguments: object) -> None:
    found = shutil.which(program) or max(POSTGRES.glob(f"*/bin/{program}"))
    words = [str(found), *map(str, arguments)]
    if os.geteuid() == 0:
        words = ["runuser", "-u", "postgres", "--", *words]
    subprocess.run(words, check=True, capture_output=True, cwd="/")
