"""A sheet to try a way on: an example boil, so that its words are seen where they will stand."""

import json
from functools import cache, lru_cache
from typing import Any

from shop.demo.scenario import demo_sheet
from shop.plan.check_way import problems_of
from shop.plan.errors import PlanError
from shop.plan.own_way import Flat, way_of
from shop.plan.sheet import Sheet
from shop.sentences import reason

EXAMPLE = "demo-planned"


def example_sheet(flat: Flat) -> Sheet:
    """The example boil by this way; callers share it and must not change it.

    Raises PlanError; KeyError for a brace that nothing fills.
    """
    return _example(json.dumps(flat))


@lru_cache(maxsize=8)
def _example(flat: str) -> Sheet:
    """Making a sheet takes a tenth of a second, and every page of the way asks for the same one."""
    return demo_sheet(EXAMPLE, way=way_of(json.loads(flat)))


def problems_of_draft(flat: Flat) -> list[str]:
    """What keeps a way from being put in force: its own problems, else what a sheet says of it."""
    if found := problems_of(flat, frozenset(figures())):
        return found
    try:
        example_sheet(flat)
    except PlanError as wrong:
        return [reason(wrong)]
    return []


@cache
def figures() -> dict[str, dict[str, Any]]:
    """Every figure a sheet can show, by name; those of one portion are the example's."""
    return {figure["name"]: figure for figure in demo_sheet(EXAMPLE)["graph"]}


@cache
def shared_figures() -> dict[str, dict[str, Any]]:
    """Figures that are no single portion's: those every sheet has."""
    portions = [f"{row['id']}_" for row in demo_sheet(EXAMPLE)["portions"]]
    return {
        name: figure
        for name, figure in figures().items()
        if not any(name.startswith(portion) for portion in portions)
    }
