"""The training ladder: what a hand can be taught, rung by rung."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

# How one learns a skill, in this order; the last is done as often as the shop's number says.
RUNGS = ("watch", "assist", "solo")


@dataclass(frozen=True, slots=True)
class Skill:
    """Something a hand can be taught; `only`: what must be so before they are let near it."""

    id: str
    name: str
    only: str


@cache
def ladder() -> tuple[Skill, ...]:
    """Every skill of our way, the first to learn first."""
    text = files("shop.plan.way").joinpath("skills.toml").read_text("utf-8")
    return tuple(Skill(**row) for row in tomllib.loads(text)["skill"])
