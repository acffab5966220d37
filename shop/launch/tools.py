"""The programs that the tests drive: a browser and its trust store's tool, a changed clock, a
proxy, a database server."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from shop.launch.errors import MissingToolsError

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
# Debian's package for each program.
POSTGRES = Path("/usr/lib/postgresql")
PACKAGES = {
    "certutil": "libnss3-tools",
    "faketime": "faketime",
    "nginx": "nginx-light",
    "openssl": "openssl",
}


def find_browser() -> str | None:
    """KETTLESIDE_CHROMIUM, or the first browser of this kind on the path."""
    chosen = os.environ.get("KETTLESIDE_CHROMIUM")
    return chosen or next(filter(None, map(shutil.which, BROWSERS)), None)


def missing_packages() -> list[str]:
    # Without a font the browser measures empty boxes.
    missing = [] if find_browser() else ["chromium", "fonts-dejavu-core"]
    missing += [package for tool, package in PACKAGES.items() if not shutil.which(tool)]
    return missing if has_postgres() else [*missing, "postgresql"]


def has_postgres() -> bool:
    """Debian keeps the server's own programs off the path, a folder for each version."""
    return bool(shutil.which("postgres")) or any(POSTGRES.glob("*/bin/postgres"))


def provide_tools() -> None:
    """Install what is missing where that is ours to do (Debian, as root); otherwise say what."""
    missing = missing_packages()
    if missing and may_install():
        apt_get("update")
        apt_get("install", "--yes", "--no-install-recommends", *missing)
        missing = missing_packages()
    if missing:
        raise MissingToolsError(missing)


def may_install() -> bool:
    is_debian = Path("/etc/debian_version").exists() and shutil.which("apt-get") is not None
    return is_debian and os.geteuid() == 0


def apt_get(*arguments: str) -> None:
    command: Sequence[str] = ("apt-get", "--quiet", *arguments)
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    print("Setting up:", *command, file=sys.stderr, flush=True)
    subprocess.run(command, env=environment, stdout=sys.stderr, check=False)
