"""Whether a pinned package has a known vulnerability, as the package index itself tells it.

The index that pip is set to use is asked, one release at a time, for its JSON
(`/pypi/<name>/<version>/json`, field `vulnerabilities`; docs of the index, "JSON API"). A mirror
that has only the newest release's page tells of a pin that is the newest, and of no other. What
could not be asked is named and never called clean.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import tomllib
import urllib.request
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from email.utils import parsedate_to_datetime
from http.client import HTTPException
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from packaging.requirements import Requirement

PIN = re.compile(r"^([A-Za-z0-9._-]+==[^ \\]+(?: ?;[^\\]+)?)", re.M)
PATIENCE_S = 20


@dataclass(frozen=True, slots=True)
class Answer:
    """What the index said, and when it made that [UTC], if it tells."""

    content: bytes
    made: datetime | None


Fetch = Callable[[str], Answer]


@dataclass(frozen=True, slots=True)
class Found:
    """One vulnerability of one pinned release."""

    package: str
    version: str
    id: str
    fixed_in: tuple[str, ...]

    def __str__(self) -> str:
        mend = (
            f"fixed in {', '.join(self.fixed_in)}" if self.fixed_in else "no release mends it yet"
        )
        return f"{self.package} {self.version}: {self.id} ({mend})"


@dataclass(frozen=True, slots=True)
class Accepted:
    """One that is known and left, with the reason and the day until which that holds."""

    id: str
    why: str
    until: date


class CouldNotAsk(Exception):
    """The index gave no answer that says anything about vulnerabilities."""


def pinned(text: str) -> list[tuple[str, str]]:
    """Name and version of every package in a file of pins, whatever its marker."""
    found = [Requirement(line.strip()) for line in PIN.findall(text)]
    return sorted({(one.name, str(next(iter(one.specifier)).version)) for one in found})


def index() -> str:
    """Scheme and host of the index that pip uses here, e.g. `https://host`. Raises CouldNotAsk."""
    command = [sys.executable, "-c", "from pip._internal.models.index import PyPI; print(PyPI.url)"]
    asked = _said([sys.executable, "-m", "pip", "config", "get", "global.index-url"])
    address = asked or _said(command)
    parts = urlsplit(address.strip())
    if parts.scheme not in ("http", "https") or not parts.netloc:
        raise CouldNotAsk("pip names no index that can be asked")
    return f"{parts.scheme}://{parts.netloc}"


def _said(command: Sequence[str]) -> str:
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    return "" if done.returncode else done.stdout.strip()


def fetch(address: str) -> Answer:
    """Raises OSError."""
    with urllib.request.urlopen(address, timeout=PATIENCE_S) as answer:  # noqa: S310  # http(s) alone
        told = answer.headers.get("Last-Modified") or answer.headers.get("Date")
        age = answer.headers.get("Age", "0")
        made = parsedate_to_datetime(told) if told else None
        if made and "Last-Modified" not in answer.headers and age.isdigit():
            made -= timedelta(seconds=int(age))
        return Answer(answer.read(), made)


def vulnerable(
    base: str, package: str, version: str, get: Fetch = fetch
) -> tuple[list[Found], datetime | None]:
    """What the index knows against this release, and when it said so. Raises CouldNotAsk."""
    why = ""
    for page in (f"{package}/{version}", package):
        try:
            answer = get(f"{base}/pypi/{page}/json")
            told = json.loads(answer.content)
            if told["info"]["version"] == version:
                return _standing(package, version, told["vulnerabilities"]), answer.made
            why = f"the index tells only of {told['info']['version']}"
        except (OSError, HTTPException, ValueError, KeyError, TypeError) as wrong:
            why = why or f"{type(wrong).__name__}: {wrong}"
    raise CouldNotAsk(f"{package} {version} ({why})")


def _standing(package: str, version: str, listed: list[dict[str, Any]]) -> list[Found]:
    return [
        Found(package, version, str(one["id"]), tuple(map(str, one.get("fixed_in") or ())))
        for one in listed
        if not one.get("withdrawn")
    ]


def accepted(path: Path) -> list[Accepted]:
    """The list of `.pins/accepted.toml`: [[accepted]] id, why, until. Raises ValueError."""
    rows = tomllib.loads(path.read_text("utf-8")).get("accepted", [])
    found = [Accepted(str(row["id"]), str(row["why"]), row["until"]) for row in rows]
    for one in found:
        if not one.why.strip() or type(one.until) is not date:
            raise ValueError(f"{one.id}: it needs a reason and a day until which it holds")
    return found


def unexcused(found: Sequence[Found], excuses: Sequence[Accepted], today: date) -> list[Found]:
    """Those without a reason that still holds."""
    good = {one.id for one in excuses if today <= one.until}
    return [one for one in found if one.id not in good]
