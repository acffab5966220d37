"""A disk of a few megabytes for one test: a mount of its own that only chosen processes see.

Linux; as another account than root it needs user namespaces. It goes away with its keeper.
"""

from __future__ import annotations

import json
import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.programs import ROOT, environment

READ = """
import json, sqlite3, sys
print(json.dumps([line for (line,) in sqlite3.connect(sys.argv[1]).execute(
    "SELECT line FROM shop_event")]))
"""


@dataclass(frozen=True)
class Disk:
    """The folder the disk is mounted at, and what to put before a command that shall see it."""

    folder: Path
    keeper: int

    @property
    def inside(self) -> tuple[str, ...]:
        how = ("--mount",) if os.geteuid() == 0 else ("--mount", "--user", "--preserve-credentials")
        return ("nsenter", "--target", str(self.keeper), *how, "--")

    def do(self, *command: str) -> subprocess.CompletedProcess[str]:
        """Any command that sees the disk."""
        return subprocess.run(
            [*self.inside, *command],
            cwd=ROOT,
            env=environment(self.folder),
            capture_output=True,
            text=True,
            check=False,
        )

    @property
    def _ballast(self) -> str:
        return str(self.folder / "ballast")

    def fill(self, leave: int = 0) -> None:
        """Take all room but `leave` bytes."""
        self.do("dd", "if=/dev/zero", f"of={self._ballast}", "bs=4096", "count=1000000")
        if leave:
            size = os.stat(f"/proc/{self.keeper}/root{self._ballast}").st_size
            self.do("truncate", f"--size={max(0, size - leave)}", self._ballast)

    def make_room(self) -> None:
        self.do("rm", self._ballast)

    def read_only(self, yes: bool) -> None:
        """As a failing card is switched by the system."""
        done = self.do("mount", "-o", f"remount,{'ro' if yes else 'rw'}", str(self.folder))
        assert done.returncode == 0, done.stderr

    def lines(self, database: str = "shop/kettleside.sqlite3") -> set[str]:
        """Every entry in the store's file on it."""
        done = self.do("python3", "-c", READ, str(self.folder / database))
        assert done.returncode == 0, done.stderr
        return set(json.loads(done.stdout))


@contextmanager
def small_disk(folder: Path, megabytes: int) -> Iterator[Disk]:
    """A disk of that size, mounted at `folder` for whoever is put inside."""
    folder.mkdir(parents=True)
    mount = f"mount -t tmpfs -o size={megabytes}m,mode=0700 tmpfs '{folder}'"
    own = ["--mount"] if os.geteuid() == 0 else ["--mount", "--user", "--map-root-user"]
    command = ["unshare", *own, "sh", "-c", f"{mount} && echo mounted && exec cat"]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as keeper:
        try:
            assert keeper.stdout is not None
            assert keeper.stdout.readline() == "mounted\n"
            yield Disk(folder, keeper.pid)
        finally:
            keeper.terminate()
