"""What our way is made of, in a short text: so that a program that brings another can say so."""

import json
import tomllib
from collections.abc import Iterator
from functools import cache
from hashlib import sha256
from importlib.resources import files

DIGITS = 6


@cache
def made_of() -> str:
    """Hash of all of our way and our numbers, then each step and what it is: `<hash> id=… id=…`."""
    steps = [f"{step}={digest}" for step, digest in sorted(_steps())]
    return " ".join([_whole(), *steps])


def _whole() -> str:
    plan = files("shop.plan")
    parts = [part for part in plan.joinpath("way").iterdir() if part.name.endswith(".toml")]
    texts = [part.read_text("utf-8") for part in sorted(parts, key=lambda part: part.name)]
    numbers = plan.joinpath("numbers.toml").read_text("utf-8")
    return sha256("\0".join([*texts, numbers]).encode()).hexdigest()


def _steps() -> Iterator[tuple[str, str]]:
    text = files("shop.plan.way").joinpath("steps.toml").read_text("utf-8")
    for station in tomllib.loads(text)["station"]:
        for place, step in enumerate(station["step"]):
            whole = json.dumps([station["id"], place, step], sort_keys=True)
            yield step["id"], sha256(whole.encode()).hexdigest()[:DIGITS]


def differences(before: str, after: str) -> dict[str, list[str]]:
    """Steps `added`, `removed` and `changed` (moved ones too) from one such text to another."""
    was, now = (dict(step.split("=") for step in text.split()[1:]) for text in (before, after))
    return {
        "added": sorted(now.keys() - was.keys()),
        "removed": sorted(was.keys() - now.keys()),
        "changed": sorted(step for step in was.keys() & now.keys() if was[step] != now[step]),
    }
