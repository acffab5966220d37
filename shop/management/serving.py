"""What `serve` and `demo` share: from the command line to a running server."""

from __future__ import annotations

import os
import sys
import time
from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from django.db import connections

from shop.launch import first_visit, names, server
from shop.launch.authority import Authority, current_leaf, open_authority
from shop.launch.errors import OneProcessError
from shop.launch.places import (
    authority_folder,
    backup_folder,
    database_file,
    files_folder,
    store_folder,
    store_name,
)
from shop.launch.qr import terminal_qr
from shop.management.opening import OFFICE_USER
from shop.store.backup import is_due, is_embedded, rotate, take_backup
from shop.store.errors import BackupWrong

BACKUP_CHECK_SECONDS = 900.0
LOCAL_PORT, LAN_PORT, FIRST_VISIT_PORT = 8000, 8443, 8080
EVERY_NETWORK = "0.0.0.0"  # noqa: S104  # --lan asks for exactly this


@dataclass(frozen=True)
class Wish:
    """What the command line asks for."""

    lan: bool
    port: int
    host: str | None
    first_visit_port: int
    announce: bool
    processes: int


def add_arguments(parser: ArgumentParser) -> None:
    parser.add_argument("--lan", action="store_true", help="HTTPS for the phones on the network")
    parser.add_argument(
        "--port",
        type=int,
        help=f"default {LOCAL_PORT}, with --lan {LAN_PORT}; keep it once phones know it",
    )
    parser.add_argument("--host", help="the name phones use (default <this computer>.local)")
    parser.add_argument(
        "--first-visit-port",
        type=int,
        default=FIRST_VISIT_PORT,
        help=f"the plain page where a phone fetches the certificate (default {FIRST_VISIT_PORT})",
    )
    parser.add_argument(
        "--no-announce", action="store_true", help="the router already knows the name"
    )
    parser.add_argument(
        "--processes", type=int, default=1, help="several where the store is PostgreSQL (default 1)"
    )


def wish_of(options: dict[str, object]) -> Wish:
    lan = bool(options["lan"])
    return Wish(
        lan=lan,
        port=int(str(options["port"] or (LAN_PORT if lan else LOCAL_PORT))),
        host=str(options["host"]) if options["host"] else None,
        first_visit_port=int(str(options["first_visit_port"])),
        announce=not options["no_announce"],
        processes=int(str(options["processes"])),
    )


def run(wish: Wish, floor: str, password: str | None) -> None:
    """Serve until stopped; `floor` is the floor's path, perhaps with a code that adds a phone."""
    if is_embedded():
        if wish.processes != 1:
            raise OneProcessError(wish.processes)
        server.in_background(back_up_daily)
    # The worker opens its own: a connection must not cross into another process.
    connections.close_all()
    if wish.lan:
        return run_on_lan(wish, floor, password)
    base = f"http://localhost:{wish.port}"
    listening = server.Listening("127.0.0.1", wish.port, processes=wish.processes)
    return server.serve(listening, on_ready=lambda: tell(base, floor, password))


def run_on_lan(wish: Wish, floor: str, password: str | None) -> None:
    folder = authority_folder()
    name = names.kept_name(folder, wish.host)
    authority = open_authority(folder, name)
    leaf = current_leaf(authority, all_names(name))
    listening = server.Listening(
        EVERY_NETWORK, wish.port, leaf, folder / "root.pem", wish.processes
    )
    os.environ["KETTLESIDE_NAMES"], os.environ["KETTLESIDE_TLS"] = name, "1"
    base = f"https://{name}:{wish.port}"

    def ready() -> None:
        tell(base, floor, password)
        show_first_visit(f"http://{name}:{wish.first_visit_port}/", authority)
        if "#add=" in floor:
            say(f"{terminal_qr(base + floor)}\nThen this adds the phone: {base}{floor}")

    with open_to_phones(wish, authority, name, base):
        server.serve(listening, on_ready=ready, renew=lambda: renewed(authority, name))


def back_up_daily() -> None:
    """A backup whenever the last good one is a day old; looked at every quarter of an hour."""
    while True:
        try:
            if is_due(backup_folder()):
                take_backup(database_file(), files_folder(), backup_folder())
                rotate(backup_folder())
        except BackupWrong as wrong:
            say(f"BACKUP FAILED: {wrong}")
        time.sleep(BACKUP_CHECK_SECONDS)


@contextmanager
def open_to_phones(wish: Wish, authority: Authority, name: str, base: str) -> Iterator[None]:
    """The first-visit page and the announced name, while the server runs."""
    addresses = names.lan_addresses()
    example = addresses[0] if addresses else "192.0.2.7"
    pages = first_visit.pages(authority, name, f"{base}/floor/", example)
    with (
        first_visit.first_visit_server(EVERY_NETWORK, wish.first_visit_port, pages),
        names.announced(name, wish.port, addresses if wish.announce else []),
    ):
        yield


def all_names(name: str) -> list[str]:
    return [name, *names.ON_THIS_MACHINE, *names.lan_addresses()]


def renewed(authority: Authority, name: str) -> bool:
    """Issue the leaf again if it is due, or if this computer's addresses have changed."""
    path = authority.folder / "leaf.pem"
    before = path.read_bytes()
    current_leaf(authority, all_names(name))
    return path.read_bytes() != before


def tell(base: str, floor: str, password: str | None) -> None:
    """The addresses, and nothing else, on standard output."""
    print(f"office  {base}/office/")
    print(f"floor   {base}{floor}", flush=True)
    if password:
        print(f"sign-in {OFFICE_USER} {password}", flush=True)
        store = "KETTLESIDE_SHOP=demo " if store_name() == "demo" else ""
        say(f"The password is shown this once; {store}python3 manage.py changepassword office")
        say("sets another.")
    if "#add=" in floor:
        say("The floor link adds one phone (or this browser), within 15 minutes.")
    say(f"Data is kept in {store_folder()}. Stop with Ctrl-C.")


def show_first_visit(link: str, authority: Authority) -> None:
    say(f"{terminal_qr(link)}\nA phone's first visit: {link}")
    say("It goes by name, never by number: a number can pass to another machine, and a phone")
    say("keeps what it recorded under the name. The certificate's SHA-256 fingerprint:")
    for row in first_visit.rows(authority.fingerprint):
        say(f"    {row}")


def say(words: str) -> None:
    print(words, file=sys.stderr, flush=True)
