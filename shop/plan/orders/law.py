"""What to think of where an order is sold; hints for the counter, never advice."""

import tomllib
from functools import cache
from importlib.resources import files


@cache
def _hints() -> list[dict[str, list[str] | str]]:
    text = files("shop.plan.orders").joinpath("law.toml").read_text("utf-8")
    found: list[dict[str, list[str] | str]] = tomllib.loads(text)["hint"]
    return found


def law_hints(country: str) -> list[tuple[str, str]]:
    """Words and source of each hint for a country of `said.COUNTRIES`; none for one not said."""
    return [(str(h["words"]), str(h["source"])) for h in _hints() if country in h["where"]]
