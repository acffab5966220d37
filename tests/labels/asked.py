"""A label as one reads it, and what holds it back."""

from dataclasses import replace
from typing import Any

from shop.labels.label import Answer, make_label
from shop.labels.places import place
from shop.record.made import Composition
from tests.labels.pantry import BOIL, LINES


def answer(of: Composition, where: str, **boil: Any) -> Answer:
    return make_label(of, replace(BOIL, **boil), LINES, place(where))


def text(of: Composition, where: str) -> str:
    """The list as one reads it; `*` around what stands out."""
    found = answer(of, where)
    assert found.label is not None, found.problems
    return "".join(f"*{t}*" if strong else str(t) for t, strong in found.label["ingredients"])


def problems(of: Composition, where: str) -> str:
    return " ".join(f"{p.words} > {p.next}" for p in answer(of, where).problems)
