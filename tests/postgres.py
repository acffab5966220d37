"""A PostgreSQL server of our own, as Debian packs it, in a folder that goes away."""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from shop.launch.tools import POSTGRES


@contextmanager
def postgres_server() -> Iterator[str]:
    """Address of an empty database, settings as installed: every commit waits for the disk."""
    folder = Path(tempfile.mkdtemp(prefix="pg", dir="/tmp"))  # a socket's path is short
    if os.geteuid() == 0:
        # The server refuses to run as root.
        account = pwd.getpwnam("postgres")
        os.chown(folder, account.pw_uid, account.pw_gid)
    data, log = folder / "data", folder / "log"
    try:
        _run("initdb", "--pgdata", data, "--auth", "trust", "--username", "shop")
        listen = f"-c listen_addresses='' -c unix_socket_directories={folder}"
        _run("pg_ctl", "--pgdata", data, "--log", log, "-w", "-o", listen, "start")
        try:
            _run("createdb", "--host", folder, "--username", "shop", "kettleside")
            yield f"postgresql://shop@/kettleside?host={folder}"
        finally:
            _run("pg_ctl", "--pgdata", data, "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _run(program: str, *arguments: object) -> None:
    found = shutil.which(program) or max(POSTGRES.glob(f"*/bin/{program}"))
    words = [str(found), *map(str, arguments)]
    if os.geteuid() == 0:
        words = ["runuser", "-u", "postgres", "--", *words]
    subprocess.run(words, check=True, capture_output=True, cwd="/")
