"""`install_service`: the server as a service of this computer, started with it."""

import os
import subprocess
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from shop.launch.errors import LaunchError
from shop.launch.service import ACCOUNT, COMMAND, DATA, UNIT, Service, command, unit
from shop.management import serving

# Present where systemd runs as the first process (sd_booted(3)).
RUNS_SYSTEMD = Path("/run/systemd/system")
OURS = ("lan", "port", "host", "first_visit_port", "no_announce", "processes")


class Command(BaseCommand):
    help = (
        "Install the server as a systemd service with an account of its own that can write "
        "nothing but its data. As root. --print only shows what would be written."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        serving.add_arguments(parser)
        parser.add_argument("--print", action="store_true", help="show the unit, change nothing")
        parser.add_argument("--backups", type=Path, help="folder of backups, best on another disk")

    def handle(self, *, backups: Path | None, **options: Any) -> None:
        """Exit code 1 and one sentence where nothing was installed."""
        ports = serving.ports_of(serving.wish_of(options))
        python, words = Path(sys.executable), words_of(options)
        service = Service(settings.BASE_DIR, python, words, ports, backups=backups)
        try:
            text = unit(service)
        except LaunchError as wrong:
            raise CommandError(str(wrong)) from wrong
        if options["print"]:
            self.stdout.write(text)
            return
        if os.name != "posix" or os.geteuid() != 0:
            raise CommandError("Run it as root: sudo python3 manage.py install_service")
        make_account()
        for folder in (DATA, *([backups] if backups else [])):
            make_folder(folder)
        write(COMMAND, command(service), 0o755)
        write(UNIT, text, 0o644)
        self.stdout.write(f"{UNIT} and the command {COMMAND} are written.")
        self._start()

    def _start(self) -> None:
        if not RUNS_SYSTEMD.is_dir():
            self.stdout.write("No systemd runs here, so nothing was started.")
            return
        run("systemctl", "daemon-reload")
        run("systemctl", "enable", "--now", UNIT.name)
        self.stdout.write("It serves, and will after every start of this computer.")
        self.stdout.write(f"Set the desk's password now: {COMMAND.name} changepassword office")


def words_of(options: dict[str, Any]) -> list[str]:
    """The options of `serve`, as they were given."""
    words: list[str] = []
    for name in OURS:
        flag, value = f"--{name.replace('_', '-')}", options[name]
        if value is True:
            words.append(flag)
        elif value not in (None, False):
            words += [flag, str(value)]
    return words


def make_account() -> None:
    """An account that nobody can sign in to; kept where it is there."""
    if subprocess.run(["id", ACCOUNT], capture_output=True, check=False).returncode:  # noqa: S603, S607
        home = ("--home-dir", str(DATA), "--no-create-home")
        run("useradd", "--system", "--user-group", *home, "--shell", "/usr/sbin/nologin", ACCOUNT)


def make_folder(folder: Path) -> None:
    """Its own, and closed to all others."""
    folder.mkdir(parents=True, exist_ok=True)
    run("chown", "-R", f"{ACCOUNT}:{ACCOUNT}", str(folder))
    folder.chmod(0o700)


def write(path: Path, text: str, mode: int) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)
    path.chmod(mode)


def run(*words: str) -> None:
    """Raises CommandError with what it said."""
    done = subprocess.run(words, capture_output=True, text=True, check=False)  # noqa: S603
    if done.returncode:
        raise CommandError(f"{' '.join(words)}: {done.stderr.strip()}")
