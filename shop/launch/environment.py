"""The environment that the program makes for itself at the first start.

Standard library alone: nothing else is there yet. The environment is `.venv/<platform>-<x.y>` in
the checkout, or in the data folder where the checkout can't be written. A stamp holding the hash
of the pins is written last, so that a half-made environment is never taken for a whole one.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import subprocess
import sys
import sysconfig
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

from shop.launch.errors import BrokenEnvironmentError, MissingVenvError, PackagesNotInstalledError
from shop.launch.install_progress import InstallProgress
from shop.launch.setup_lock import setup_lock

# What a shell may hold that would send Python or pip somewhere else than into the environment.
MISLEADING = (
    "PYTHONHOME",
    "PYTHONPATH",
    "PYTHONSTARTUP",
    "VIRTUAL_ENV",
    "__PYVENV_LAUNCHER__",
    "PIP_TARGET",
    "PIP_PREFIX",
    "PIP_ROOT",
    "PIP_REQUIRE_VIRTUALENV",
    "PIP_REQUIREMENT",
    "PIP_QUIET",
    "PIP_VERBOSE",
)


def is_ready_inside(root: Path, pins: str) -> bool:
    """Is this process already running in the environment, with these pins installed?

    KETTLESIDE_ENVIRONMENT=as-is trusts the packages of the running Python, for those who
    install them some other way.
    """
    if os.environ.get("KETTLESIDE_ENVIRONMENT") == "as-is":
        return True
    home = environment_home(root)
    return home.exists() and os.path.samefile(sys.prefix, home) and is_stamped(home, root, pins)


def enter(root: Path, pins: str, argv: Sequence[str]) -> int:
    """Make the environment if need be, then run the same command in it."""
    home = environment_home(root)
    if not is_stamped(home, root, pins):
        make(home, root, pins)
    command = [str(python_of(home)), str(root / "manage.py"), *argv[1:]]
    sys.stdout.flush()
    sys.stderr.flush()
    if os.name == "nt":
        return run_as_child(command)
    os.execve(command[0], command, clean_environment(os.environ))


def run_as_child(command: Sequence[str]) -> int:

    child = subprocess.Popen(command, env=clean_environment(os.environ))
    while True:
        try:
            return child.wait()
        except KeyboardInterrupt:
            continue


def make(home: Path, root: Path, pins: str) -> None:
    """Make or mend the environment; a second start waits for the first."""
    home.parent.mkdir(parents=True, exist_ok=True)
    with setup_lock(home.with_name(f"{home.name}.lock")):
        if is_stamped(home, root, pins):
            return
        check_venv_can_be_made()
        for stale in ("dev", "run"):
            stamp_of(home, stale).unlink(missing_ok=True)
        if not is_usable(home):
            make_bare(home)
        install(home, root / ".pins" / f"{pins}.txt")
        # The developers' pins hold all of the program's own.
        for installed in {pins, "run"}:
            stamp_of(home, installed).write_text(pins_hash(root, installed))


def environment_home(root: Path) -> Path:
    name = f"{sysconfig.get_platform()}-{sys.version_info.major}.{sys.version_info.minor}"
    inside = root / ".venv" / name
    return inside if is_writable(root) else data_folder_before_packages() / "environment" / name


def is_writable(root: Path) -> bool:
    """Asked by trying: root passes every permission check of a read-only disk, and fails later."""
    probe = root / f".writable-{os.getpid()}"
    try:
        probe.touch()
        probe.unlink()
    except OSError:
        return False
    return True


def data_folder_before_packages() -> Path:
    """Where platformdirs puts user data, found before platformdirs is installed."""
    chosen = os.environ.get("KETTLESIDE_DATA")
    if chosen:
        return Path(chosen)
    if os.name == "nt":
        base = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Application Support"
    else:
        base = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    return base / "kettleside"


def python_of(home: Path) -> Path:
    return home / "Scripts" / "python.exe" if os.name == "nt" else home / "bin" / "python"


def stamp_of(home: Path, pins: str) -> Path:
    return home / f"kettleside-{pins}.stamp"


def is_stamped(home: Path, root: Path, pins: str) -> bool:
    """A Python that was removed leaves a dangling link and a good stamp: look at both."""
    stamp = stamp_of(home, pins)
    return (
        python_of(home).exists() and stamp.exists() and stamp.read_text() == pins_hash(root, pins)
    )


def pins_hash(root: Path, pins: str) -> str:
    return hashlib.sha256((root / ".pins" / f"{pins}.txt").read_bytes()).hexdigest()


def check_venv_can_be_made() -> None:
    """Debian ships Python without ensurepip; `python3 -m venv` then leaves a ruin behind."""
    for module in ("venv", "ensurepip"):
        if importlib.util.find_spec(module) is None:
            raise MissingVenvError(module)


def is_usable(home: Path) -> bool:
    python = python_of(home)
    if not python.exists():
        return False
    command = [str(python), "-m", "pip", "--version"]
    return quiet(command).returncode == 0


def make_bare(home: Path) -> None:
    print("Setting up: making an environment", file=sys.stderr, flush=True)
    made = quiet([sys.executable, "-m", "venv", "--clear", str(home)])
    if made.returncode:
        raise BrokenEnvironmentError(home, made.stdout.strip())


def quiet(command: Sequence[str]) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        command,
        env=clean_environment(os.environ),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )


def install(home: Path, pins: Path) -> None:
    """Install exactly the pinned wheels; the pins are complete, so pip need not resolve."""
    options = "--require-hashes --only-binary :all: --no-deps --progress-bar off --no-input "
    # Half the time of an install is compiling modules that are never imported.
    options += "--no-compile --disable-pip-version-check"
    command = [str(python_of(home)), "-m", "pip", "install"]
    started = time.monotonic()
    progress = InstallProgress.over(pins, sys.stderr)
    with subprocess.Popen(
        [*command, *options.split(), "-r", str(pins)],
        env=clean_environment(os.environ),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
    ) as pip:
        for line in pip.stdout or ():
            progress.heard(line)
    if pip.returncode:
        progress.close("stopped")
        raise PackagesNotInstalledError(progress.last_lines())
    progress.close(f"done in {time.monotonic() - started:.0f} s")


def clean_environment(given: Mapping[str, str]) -> dict[str, str]:
    kept = {name: value for name, value in given.items() if name not in MISLEADING}
    return {**kept, "PIP_USER": "0", "PYTHONNOUSERSITE": "1"}
