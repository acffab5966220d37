"""Kettleside as a service of the computer: systemd's unit (systemd.exec(5), systemd.service(5)).

An account of its own that may write one folder, see no home, gain no rights and talk to nothing
but the network: whoever gets a hold of the server gets the shop's data and not the computer.
"""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from shop.launch.errors import NoPlaceForServiceError

NAME = "kettleside"
ACCOUNT = NAME
DATA = Path("/var/lib") / NAME
UNIT = Path("/etc/systemd/system") / f"{NAME}.service"
COMMAND = Path("/usr/local/bin") / NAME
# What the service cannot see: a checkout there would not start.
HIDDEN = (Path("/home"), Path("/root"), Path("/tmp"), Path("/run/user"))  # noqa: S108  # named, not used
FIRST_FREE_PORT = 1024
# A worker at a hundred phones uses a tenth of it (docs/running.md).
MOST_MEMORY = "2G"


@dataclass(frozen=True, slots=True)
class Service:
    """Where the program lies, which Python runs it, and what `serve` is asked."""

    root: Path
    python: Path
    words: Sequence[str]
    ports: Sequence[int]
    data: Path = DATA
    backups: Path | None = None


UNIT_TEXT = """\
# Written by `manage.py install_service`; run that again rather than changing it here.
[Unit]
Description=Kettleside, the workshop's own server
Documentation=file://{root}/docs/running.md
After=network-online.target
Wants=network-online.target
# Five starts in ten minutes that all fail: it is not the moment, so stop and let somebody look.
StartLimitIntervalSec=600
StartLimitBurst=5

[Service]
Type=notify
NotifyAccess=main
WatchdogSec=120
ExecStart={start}
WorkingDirectory={root}
Environment={environment}
Restart=on-failure
RestartSec=5
TimeoutStartSec=900
TimeoutStopSec=30

User={account}
Group={account}
UMask=0077
ReadWritePaths={writes}
ProtectSystem=strict
ProtectHome=yes
PrivateTmp=yes
PrivateDevices=yes
PrivateIPC=yes
ProtectProc=invisible
ProcSubset=pid
ProtectClock=yes
ProtectHostname=yes
ProtectKernelTunables=yes
ProtectKernelModules=yes
ProtectKernelLogs=yes
ProtectControlGroups=yes
NoNewPrivileges=yes
{rights}
RestrictAddressFamilies=AF_INET AF_INET6 AF_UNIX AF_NETLINK
RestrictNamespaces=yes
RestrictRealtime=yes
RestrictSUIDSGID=yes
LockPersonality=yes
RemoveIPC=yes
KeyringMode=private
SystemCallArchitectures=native
SystemCallFilter=@system-service
SystemCallFilter=~@privileged
SystemCallErrorNumber=EPERM
MemoryMax={memory}
TasksMax=256
LimitNOFILE=8192
LimitCORE=0

[Install]
WantedBy=multi-user.target
"""
# A port below 1024 needs one right, and a service that has one cannot be without all.
NO_RIGHTS = "CapabilityBoundingSet="
LOW_PORT = "CapabilityBoundingSet=CAP_NET_BIND_SERVICE\nAmbientCapabilities=CAP_NET_BIND_SERVICE"

COMMAND_TEXT = """\
#!/bin/sh
# Written by `manage.py install_service`: a command of Kettleside on the service's own store.
cd {root} || exit 1
exec runuser -u {account} -- env {environment} {python} {root}/manage.py "$@"
"""


def unit(service: Service) -> str:
    """The text of the unit. Raises NoPlaceForServiceError."""
    check_place(service.root)
    check_place(service.python)
    start = [str(service.python), str(service.root / "manage.py"), "serve", *service.words]
    written = [service.data, *([service.backups] if service.backups else [])]
    low = any(port < FIRST_FREE_PORT for port in service.ports)
    return UNIT_TEXT.format(
        root=service.root,
        start=shlex.join(start).replace("%", "%%"),
        environment=" ".join(variables(service, KETTLESIDE_LOG="json")),
        account=ACCOUNT,
        writes=" ".join(map(str, written)),
        rights=LOW_PORT if low else NO_RIGHTS,
        memory=MOST_MEMORY,
    )


def variables(service: Service, **more: str) -> list[str]:
    """What the program is told by its environment, as NAME=value."""
    own = {"KETTLESIDE_DATA": str(service.data), "KETTLESIDE_ENVIRONMENT": "as-is"}
    if service.backups:
        own["KETTLESIDE_BACKUPS"] = str(service.backups)
    return [shlex.quote(f"{name}={value}") for name, value in (own | more).items()]


def command(service: Service) -> str:
    """For whoever looks after the computer: `kettleside backup`, `kettleside verify`."""
    return COMMAND_TEXT.format(
        root=shlex.quote(str(service.root)),
        account=ACCOUNT,
        environment=" ".join(variables(service)),
        python=shlex.quote(str(service.python)),
    )


def check_place(path: Path) -> None:
    """The service sees no home and has a /tmp of its own."""
    for hidden in HIDDEN:
        if path.is_relative_to(hidden):
            raise NoPlaceForServiceError(path, hidden)
    if set(str(path)) & set(" \t\n\"'%$\\"):
        raise NoPlaceForServiceError(path, None)
