"""One visible line while pip works, from what pip prints."""

from __future__ import annotations

import re
from collections import deque
from pathlib import Path
from typing import TextIO

COLLECTING = re.compile(r"^Collecting ([A-Za-z0-9._-]+)")
DOWNLOADING = re.compile(r"^\s*Downloading \S+ \((?P<size>[^)]+)\)")
IGNORING = re.compile(r"^Ignoring ")
INSTALLING = re.compile(r"^Installing collected packages")
# A wheel from a folder, of which pip names the file.
PROCESSING = re.compile(r"^Processing (?:\S*/)?([A-Za-z0-9_.]+)-")
PRESENT = re.compile(r"^Requirement already satisfied: ([A-Za-z0-9._-]+)")


class InstallProgress:
    """`Setting up: 7 of 25 django`, rewritten in place on a terminal, one line each elsewhere."""

    def __init__(self, total: int, out: TextIO) -> None:
        self.total = total
        self.out = out
        self.number = 0
        self.name = ""
        self.width = 0
        self.heard_last: deque[str] = deque(maxlen=12)

    @classmethod
    def over(cls, pins: Path, out: TextIO) -> InstallProgress:
        lines = pins.read_text(encoding="utf-8").splitlines()
        return cls(sum("==" in line for line in lines), out)

    def heard(self, line: str) -> None:
        """Take in one line of pip's and show what it means, if anything."""
        self.heard_last.append(line.rstrip())
        if IGNORING.match(line):
            self.total -= 1
        elif found := first_match(line, COLLECTING, PROCESSING, PRESENT):
            self.number += 1
            self.name = found[1]
            self.show(f"{self.number} of {self.total} {self.name}")
        elif (found := DOWNLOADING.match(line)) and self.out.isatty():
            self.show(f"{self.number} of {self.total} {self.name} ({found['size']})")
        elif INSTALLING.match(line):
            self.show("unpacking")

    def show(self, words: str) -> None:
        line = f"Setting up: {words}"
        if self.out.isatty():
            self.out.write(f"\r{line.ljust(self.width)}")
            self.width = len(line)
        else:
            self.out.write(f"{line}\n")
        self.out.flush()

    def close(self, words: str) -> None:
        self.show(words)
        if self.out.isatty():
            self.out.write("\n")

    def last_lines(self) -> str:
        return "\n".join(line for line in self.heard_last if line)


def first_match(line: str, *patterns: re.Pattern[str]) -> re.Match[str] | None:
    return next(filter(None, (pattern.match(line) for pattern in patterns)), None)
