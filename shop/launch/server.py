"""The server process: granian, HTTP/1.1 and 2; each worker has one thread that runs our code.

One thread because Python has one lock: more only wait for each other. SQLite has one writer, so it
gets one worker; PostgreSQL may have several. A worker is its own process, so a crash there is
mended by the parent.
"""

from __future__ import annotations

import http.client
import multiprocessing
import os
import socket
import ssl
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from ipaddress import ip_address
from pathlib import Path

from granian.constants import Interfaces, SSLProtocols
from granian.log import LogLevels
from granian.server.mp import MPServer

from shop.launch.authority import Leaf
from shop.launch.errors import PortTakenError
from shop.launch.logs import logging_settings
from shop.launch.notify import notify, stay_watched

TO_STDERR = {
    "formatters": logging_settings()["formatters"],
    "handlers": {
        name: {"class": "logging.StreamHandler", "stream": "ext://sys.stderr", "formatter": "ours"}
        for name in ("console", "access")
    },
}
# What the slowest computer we think of needs for it; two old cores need four.
WORKER_START_SECONDS = 10.0
RENEWAL_CHECK_SECONDS = float(os.environ.get("KETTLESIDE_RENEWAL_SECONDS", "3600"))


@dataclass(frozen=True)
class Listening:
    """Where to listen and, for HTTPS, what to show."""

    address: str
    port: int
    leaf: Leaf | None = None
    root: Path | None = None
    processes: int = 1


def serve(
    listening: Listening,
    *,
    on_ready: Callable[[], None],
    renew: Callable[[], bool] | None = None,
    check_every: float = RENEWAL_CHECK_SECONDS,
) -> None:
    """Serve until Ctrl-C or SIGTERM.

    `on_ready` is called once the first request was answered. `renew` says whether it issued a
    new leaf; the worker is then replaced by one that shows it.
    """
    check_port(listening.address, listening.port)
    # Forking a process that already has threads can leave a lock held for ever in the child.
    multiprocessing.set_start_method("spawn", force=True)
    server = granian(listening)
    in_background(call_when_ready, listening, on_ready)
    if renew is not None:
        in_background(renew_for_ever, server, renew, check_every)
    server.serve()


def granian(listening: Listening) -> MPServer:
    leaf = listening.leaf
    return MPServer(
        "shop.wsgi:application",
        address=listening.address,
        port=listening.port,
        interface=Interfaces.WSGI,
        workers=listening.processes,
        blocking_threads=1,
        websockets=False,
        respawn_failed_workers=True,
        # A worker that is replaced serves on until the new one has had time to start.
        respawn_interval=WORKER_START_SECONDS,
        workers_kill_timeout=10,
        log_level=LogLevels.warning,
        log_dictconfig=TO_STDERR,
        ssl_cert=leaf.certificate if leaf else None,
        ssl_key=leaf.key if leaf else None,
        # Phones of 2018 speak TLS 1.2 only.
        ssl_protocol_min=SSLProtocols.tls12,
    )


def check_port(address: str, port: int) -> None:
    """Granian shares its port on Linux: a second server would silently take half the requests."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        if os.name == "posix":
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((address, port))
        except OSError as error:
            reason = error.strerror or str(error)
            raise PortTakenError(port, reason, "--port") from error


def in_background(work: Callable[..., None], *args: object) -> None:
    threading.Thread(target=work, args=args, daemon=True).start()


def call_when_ready(listening: Listening, on_ready: Callable[[], None]) -> None:
    while not answers(listening):
        time.sleep(0.1)
    on_ready()
    notify("READY=1")
    stay_watched(lambda: answers(listening))


def answers(listening: Listening) -> bool:
    """Does the server answer, whatever it says?"""
    connection = connect(listening)
    try:
        connection.request("GET", "/", headers={"Host": "localhost"})
        connection.getresponse().read()
    except (OSError, http.client.HTTPException):
        return False
    finally:
        connection.close()
    return True


def connect(listening: Listening) -> http.client.HTTPConnection:
    everywhere = ip_address(listening.address).is_unspecified
    host = "127.0.0.1" if everywhere else listening.address
    if listening.leaf is None:
        return http.client.HTTPConnection(host, listening.port, timeout=5)
    context = ssl.create_default_context(cafile=listening.root)
    if listening.root is None:
        # A certificate brought from elsewhere is for a name, and this asks ourselves by number.
        context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
    return http.client.HTTPSConnection(host, listening.port, timeout=5, context=context)


def renew_for_ever(server: MPServer, renew: Callable[[], bool], check_every: float) -> None:
    while True:
        time.sleep(check_every)
        if renew():
            # A worker reads the certificate when it starts, so a new worker shows the new one.
            server.signal_handler_reload(None, None)
