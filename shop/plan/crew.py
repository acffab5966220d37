"""The roles of the trade, and what each may do with a boil."""

import tomllib
from dataclasses import asdict, dataclass
from functools import cache
from importlib.resources import files
from typing import Any


@dataclass(frozen=True, slots=True)
class Role:
    """A role by the name that people have, and the ids of the acts it may do."""

    id: str
    name: str
    may: tuple[str, ...]


@cache
def _crew() -> dict[str, Any]:
    return tomllib.loads(files("shop.plan.way").joinpath("crew.toml").read_text("utf-8"))


@cache
def roles() -> tuple[Role, ...]:
    """Every role of our way."""
    return tuple(Role(row["id"], row["name"], tuple(row["may"])) for row in _crew()["role"])


@cache
def acts() -> dict[str, str]:
    """Act → what it is in words, after 'may'."""
    return {row["id"]: row["words"] for row in _crew()["act"]}


def who_may(act: str) -> list[str]:
    """Names of the roles that may do this."""
    return [role.name for role in roles() if act in role.may]


def of_a_sheet() -> list[dict[str, Any]]:
    """The roles as a sheet carries them."""
    return [{**asdict(role), "may": list(role.may)} for role in roles()]
