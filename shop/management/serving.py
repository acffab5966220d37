"""What `serve` and `demo` share: from the command line to a running server."""

from __future__ import annotations

import os
import time
from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from django.core.management import CommandError
from django.db import connections

from shop.launch import first_visit, names, server
from shop.launch.authority import Authority, open_authority
from shop.launch.certificates import brought, own_leaf
from shop.launch.errors import OneProcessError
from shop.launch.logs import as_lines
from shop.launch.logs import tell as say
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
from shop.store.phones import living_under

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
    leave: str | None


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
        "--leave", metavar="NAME", help="stop serving an old name that every phone has left"
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
        leave=str(options["leave"]) if options["leave"] else None,
    )


def ports_of(wish: Wish) -> list[int]:
    """Where it listens."""
    return [wish.port, wish.first_visit_port] if wish.lan else [wish.port]


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
    """HTTPS by name; with our own authority unless the settings bring a certificate."""
    folder = authority_folder()
    if wish.leave:
        leave(folder, wish.leave)
    every = [names.kept_name(folder, wish.host), *names.old_names(folder)]
    name, base = every[0], f"https://{every[0]}:{wish.port}"
    shown, authority = brought(name), None
    if shown is None:
        authority = open_authority(folder, name)
        shown = own_leaf(authority, lambda: all_names(every))
    listening = server.Listening(EVERY_NETWORK, wish.port, shown.leaf, shown.root, wish.processes)
    first = f"http://{name}:{wish.first_visit_port}/" if authority else ""
    tell_the_worker(every, base, first, authority)

    def ready() -> None:
        tell(base, floor, password)
        for old in every[1:]:
            say(f"Served as well until every phone has left it: {old} (then: --leave {old})")
        if authority:
            show_first_visit(first, authority)
        if "#add=" in floor and not as_lines():
            say(f"{terminal_qr(base + floor)}\nThen this adds the phone: {base}{floor}")

    with open_to_phones(wish, authority, every, listening):
        server.serve(listening, on_ready=ready, renew=shown.renewed)


def leave(folder: Path, name: str) -> None:
    """Drop an old name that nobody lives under any more. Raises CommandError, BadNameError."""
    if still := living_under(name):
        raise CommandError(
            f"{', '.join(still)}: still under {name}, or not heard of since. Let each move, or "
            "lock it out in the office."
        )
    names.leave(folder, name)


def tell_the_worker(every: list[str], base: str, first: str, authority: Authority | None) -> None:
    """What the settings of the workers read; they are processes of their own."""
    fingerprint = first_visit.rows(authority.fingerprint) if authority else ()
    os.environ |= {
        "KETTLESIDE_NAMES": every[0],
        "KETTLESIDE_OLD_NAMES": ",".join(every[1:]),
        "KETTLESIDE_TLS": "1",
        "KETTLESIDE_HOME": base,
        "KETTLESIDE_FIRST_VISIT": first,
        "KETTLESIDE_FINGERPRINT": "|".join(fingerprint),
    }


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
def open_to_phones(
    wish: Wish, authority: Authority | None, every: list[str], listening: server.Listening
) -> Iterator[None]:
    """The announced names and, for our own authority, the first-visit page; while we serve."""
    addresses = names.lan_addresses()
    with ExitStack() as open_now:
        told = addresses if wish.announce else []
        open_now.enter_context(names.announced(every, wish.port, told))
        if authority:
            number = addresses[0] if addresses else "192.0.2.7"
            base = f"https://{every[0]}:{wish.port}"
            place = first_visit.Place(every[0], base, wish.first_visit_port, number)
            answering = partial(server.answers, listening)
            pages, port = first_visit.pages(authority, place, answering), wish.first_visit_port
            open_now.enter_context(first_visit.first_visit_server(EVERY_NETWORK, port, pages))
        yield


def all_names(every: list[str]) -> list[str]:
    return [*every, *names.ON_THIS_MACHINE, *names.lan_addresses()]


def tell(base: str, floor: str, password: str | None) -> None:
    """The addresses, and nothing else, on standard output; never a secret into a service's log."""
    if as_lines():
        say("Kettleside serves.", office=f"{base}/office/", data=str(store_folder()))
        return
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
    if as_lines():
        return say("Phones begin at the first-visit page.", first_visit=link)
    say(f"{terminal_qr(link)}\nA phone's first visit: {link}")
    port = link[link.rindex(":") :]
    for number in names.lan_addresses():
        say(f"Where a phone can't find the name, this page alone: http://{number}{port}")
    say("It goes by name, never by number: a number can pass to another machine, and a phone")
    say("keeps what it recorded under the name. The certificate's SHA-256 fingerprint:")
    for row in first_visit.rows(authority.fingerprint):
        say(f"    {row}")
