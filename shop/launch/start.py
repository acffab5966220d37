"""From the first line of `manage.py` to Django; standard library alone until Django is there."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path

from shop.launch import environment
from shop.launch.errors import LaunchError

ROOT = Path(__file__).resolve().parents[2]
DEVELOPERS_COMMANDS = ("test", "bench", "lint")


def main(argv: Sequence[str]) -> int:
    """Run one command inside the program's own environment; the answer is the exit code."""
    command = argv[1] if len(argv) > 1 else "help"
    try:
        pins = "dev" if command in DEVELOPERS_COMMANDS else "run"
        if not environment.is_ready_inside(ROOT, pins):
            return environment.enter(ROOT, pins, argv)
        return run(command, argv)
    except LaunchError as error:
        print(error, file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return 130


def run(command: str, argv: Sequence[str]) -> int:
    if command in DEVELOPERS_COMMANDS:
        return run_tool(command, argv[2:])
    choose_store(argv[1:])
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(list(argv))
    return 0


def run_tool(command: str, arguments: Sequence[str]) -> int:
    from shop.launch import checking

    if command == "lint":
        return checking.lint(ROOT)
    run = checking.run_tests if command == "test" else checking.run_bench
    return run(ROOT, arguments)


def choose_store(arguments: Sequence[str]) -> None:
    """The demo's batches are all named demo-…: a command that names one means the demo store."""
    if any(argument == "demo" or argument.startswith("demo-") for argument in arguments):
        os.environ["KETTLESIDE_SHOP"] = "demo"
