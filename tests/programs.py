"""The program as a process of its own, as a shop runs it: real port, real database file."""

from __future__ import annotations

import atexit
import json
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
# Each program makes these itself at its start: no two have a key or a lock in common.
OWN = shutil.ignore_patterns("secret.key", "serving.lock")


@dataclass
class Program:
    """A running `manage.py serve` or `demo` and what it printed."""

    process: subprocess.Popen[str]
    data: Path
    port: int
    out: Path
    err: Path

    def said(self) -> str:
        """Standard output: the addresses."""
        return self.out.read_text()

    def chatter(self) -> str:
        return self.err.read_text()


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def environment(data: Path, **more: str) -> dict[str, str]:
    """Ours, with the data kept apart and the packages of this Python."""
    own = {"KETTLESIDE_DATA": str(data), "KETTLESIDE_ENVIRONMENT": "as-is", **more}
    # Without its compiled files the program starts three times as slowly, for every test anew.
    left = ("KETTLESIDE_SHOP", "DJANGO_SETTINGS_MODULE", "PYTHONDONTWRITEBYTECODE")
    return {**{name: value for name, value in os.environ.items() if name not in left}, **own}


def manage(data: Path, *arguments: str, **more: str) -> subprocess.CompletedProcess[str]:
    """One command of the program, to its end."""
    return manage_inside((), data, *arguments, **more)


def manage_inside(
    inside: Sequence[str], data: Path, *arguments: str, **more: str
) -> subprocess.CompletedProcess[str]:
    """The same behind another command, such as one that sets the clock or a disk of its own.

    KETTLESIDE_TEST_PATIENCE [s] is for one that goes through a million entries.
    """
    return subprocess.run(
        [*inside, sys.executable, str(ROOT / "manage.py"), *arguments],
        cwd=ROOT,
        env=environment(data, **more),
        capture_output=True,
        text=True,
        check=False,
        timeout=float(more.get("KETTLESIDE_TEST_PATIENCE", "120")),
    )


def beside(data: Path, code: str, **more: str) -> Any:
    """What a piece of Python leaves in `answer`, run with Django beside the demo's store.

    In a process of its own, because Django reads its settings once.
    """
    return beside_inside((), data, code, **more)


def beside_inside(inside: Sequence[str], data: Path, code: str, **more: str) -> Any:
    """The same behind another command."""
    whole = f"import json, django; django.setup()\n{code}\nprint(json.dumps(answer))"
    demo = {"KETTLESIDE_SHOP": "demo", "DJANGO_SETTINGS_MODULE": "shop.settings"}
    # A command that goes into another mount namespace leaves this folder.
    demo["PYTHONPATH"] = str(ROOT)
    done = subprocess.run(
        [*inside, sys.executable, "-c", whole],
        cwd=ROOT,
        env={**environment(data), **demo, **more},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)


def copy_demo(data: Path) -> None:
    """A new demo in this data folder, as `upgrade` leaves it: no office user, no backup yet."""
    shutil.copytree(made_demo() / "demo", data / "demo", ignore=OWN)


@cache
def made_demo() -> Path:
    """A data folder with a demo that the program made: once for this process, gone with it."""
    folder = Path(tempfile.mkdtemp(prefix="kettleside-made-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    done = manage(folder, "upgrade", KETTLESIDE_SHOP="demo", DATABASE_URL="")
    assert done.returncode == 0, done.stderr
    return folder


@contextmanager
def running(
    data: Path,
    *arguments: str,
    port: int | None = None,
    root: Path = ROOT,
    inside: Sequence[str] = (),
    anew: bool = False,
    **more: str,
) -> Iterator[Program]:
    """`manage.py <arguments> --port …` until the block ends; waits for its first answer.

    `inside` is put before the command, such as another clock or a disk of its own. Where there is
    no demo yet it finds one made before, unless it is to make one `anew`.
    """
    chosen = port or free_port()
    data.mkdir(parents=True, exist_ok=True)
    as_usual = root == ROOT and not inside and not anew and "DATABASE_URL" not in more
    if arguments[0] == "demo" and as_usual and not (data / "demo").exists():
        copy_demo(data)
    out, err = data / "stdout.txt", data / "stderr.txt"
    with out.open("w") as out_file, err.open("w") as err_file:
        process = subprocess.Popen(
            [*inside, sys.executable, str(root / "manage.py"), *arguments, "--port", str(chosen)],
            cwd=root,
            env=environment(data, **more),
            stdout=out_file,
            stderr=err_file,
            text=True,
        )
    program = Program(process, data, chosen, out, err)
    try:
        wait_until(lambda: "floor" in program.said() or process.poll() is not None, 60)
        assert process.poll() is None, program.chatter()
        yield program
    finally:
        if process.poll() is None:
            process.terminate()
        process.wait(30)


def wait_until(happened: Callable[[], bool], seconds: float) -> None:
    deadline = time.monotonic() + seconds
    while not happened():
        assert time.monotonic() < deadline, f"nothing happened within {seconds} s"
        time.sleep(0.05)
