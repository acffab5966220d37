"""The floor as a process: tests/bench/bare.py under the same server, one thread a worker."""

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.programs import ROOT, free_port


@dataclass(frozen=True)
class Bare:
    """The bare server that runs."""

    port: int
    pid: int


@contextmanager
def bare_server(
    database: str, *, processes: int = 1, authority: Path | None = None
) -> Iterator[Bare]:
    """Keeps lines in `database`, a file or PostgreSQL's address; HTTPS by the leaf in a folder."""
    port = free_port()
    process = subprocess.Popen(
        [
            *(sys.executable, "-m", "granian", "--interface", "wsgi", "--port", str(port)),
            *("--blocking-threads", "1", "--workers", str(processes), "--log-level", "error"),
            *(_tls(authority) if authority else []),
            "tests.bench.bare:application",
        ],
        cwd=ROOT,
        env={**os.environ, "BARE_DB": database},
    )
    try:
        _wait(port)
        yield Bare(port, process.pid)
    finally:
        process.terminate()
        process.wait(20)


def _tls(authority: Path) -> list[str]:
    leaf, key = authority / "leaf.pem", authority / "leaf.key"
    return ["--ssl-certificate", str(leaf), "--ssl-keyfile", str(key)]


def _wait(port: int) -> None:
    for _ in range(200):
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
        except OSError:
            time.sleep(0.05)
        else:
            return
    raise RuntimeError("the bare server does not answer")
