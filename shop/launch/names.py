"""The one name by which phones know this computer.

A browser keeps what a phone recorded under scheme, name and port together: another name is
another, empty drawer. So the name is chosen at the first start and kept, and it is never a bare
address, which the router may hand to another machine tomorrow. A name that was changed is answered
for as well, until the phones have brought what they hold from there.
"""

from __future__ import annotations

import ipaddress
import re
import socket
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import ifaddr
from zeroconf import Error as ZeroconfError
from zeroconf import InterfaceChoice, ServiceInfo, Zeroconf

from shop.launch.errors import BadNameError

LABEL = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?")
ON_THIS_MACHINE = ("localhost", "127.0.0.1", "::1")


def kept_name(folder: Path, wanted: str | None = None) -> str:
    """The name kept in `folder`; `wanted`, or this computer's own, becomes it."""
    path = folder / "name"
    kept = path.read_text().strip() if path.exists() else ""
    name = check_name(wanted) if wanted else kept or own_name()
    if name != kept:
        old = [*old_names(folder), kept] if kept else []
        # The old ones first: a crash between the two must not lose a name that phones live under.
        keep_old(folder, [one for one in dict.fromkeys(old) if one != name])
        path.write_text(f"{name}\n")
    return name


def old_names(folder: Path) -> list[str]:
    """Names this computer had before and still answers for, oldest first."""
    path = folder / "old-names"
    return path.read_text().split() if path.exists() else []


def keep_old(folder: Path, names: Sequence[str]) -> None:
    (folder / "old-names").write_text("".join(f"{name}\n" for name in names))


def leave(folder: Path, name: str) -> None:
    """Stop answering for an old name. Raises BadNameError where it is none."""
    names = old_names(folder)
    if name not in names:
        known = ", ".join(names) or "none"
        raise BadNameError(name, f"it is no old name of this computer (old ones: {known})")
    keep_old(folder, [one for one in names if one != name])


def own_name(host: str | None = None) -> str:
    """`<hostname>.local`, the name that multicast DNS answers for (RFC 6762)."""
    first = (host or socket.gethostname()).split(".")[0].lower()
    label = re.sub(r"[^a-z0-9]+", "-", first).strip("-")[:63].strip("-")
    return f"{label or 'kettleside'}.local"


def check_name(name: str) -> str:
    """A host name of at least two labels (RFC 1123 section 2.1), in lower case."""
    plain = name.strip().rstrip(".").lower()
    if is_address(plain):
        raise BadNameError(name, "a bare address can pass to another machine")
    labels = plain.split(".")
    if len(labels) < 2 or len(plain) > 253 or not all(map(LABEL.fullmatch, labels)):
        raise BadNameError(name, "it takes letters, digits and hyphens, with a dot between parts")
    return plain


def is_address(text: str) -> bool:
    try:
        ipaddress.ip_address(text)
    except ValueError:
        return False
    return True


def lan_addresses() -> list[str]:
    """This computer's IPv4 addresses on its networks, as they are now."""
    found = (ip.ip for adapter in ifaddr.get_adapters() for ip in adapter.ips if ip.is_IPv4)
    addresses = (ipaddress.IPv4Address(ip) for ip in found if isinstance(ip, str))
    return [str(ip) for ip in addresses if not (ip.is_loopback or ip.is_link_local)]


@contextmanager
def announced(
    names: Sequence[str],
    port: int,
    addresses: Sequence[str],
    interfaces: Sequence[str] | None = None,
) -> Iterator[bool]:
    """Answer for the names on the network while the block runs; False where that can't be done.

    Only names that end in .local are ours to answer for.
    """
    ours = [name for name in names if name.endswith(".local")]
    if not ours or not addresses:
        yield False
        return
    try:
        responder = Zeroconf(interfaces=list(interfaces) if interfaces else InterfaceChoice.All)
        for name in ours:
            responder.register_service(service(name, port, addresses), allow_name_change=True)
    except (OSError, ZeroconfError) as error:
        print(f"{', '.join(ours)} could not be announced: {error}", file=sys.stderr)
        yield False
        return
    try:
        yield True
    finally:
        responder.close()


def service(name: str, port: int, addresses: Sequence[str]) -> ServiceInfo:
    kind = "_https._tcp.local."
    label = name.removesuffix(".local")
    packed = [socket.inet_aton(address) for address in addresses]
    return ServiceInfo(kind, f"{label}.{kind}", port=port, addresses=packed, server=f"{name}.")
