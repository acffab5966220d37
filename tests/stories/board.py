"""What a walk presses and reads on a phone's board."""

from __future__ import annotations

from typing import Any

from tests.stories.conftest import Phone

# WCAG 2.2, 1.4.3 (AA) for text; what is asked of a whole screen is 7 (1.4.6).
READABLE = 4.5


def key(crew: Phone, words: str) -> None:
    """The last key that says so: one of a panel before one of the board."""
    crew.page.locator("#app").get_by_role("button", name=words).last.click()


def write(crew: Phone, label: str, value: str, unit: str) -> None:
    """A reading written down from whatever step the board is at."""
    key(crew, "Write")
    key(crew, label)
    crew.type(value, unit)


def made(crew: Phone, kind: str) -> list[dict[str, Any]]:
    """This phone's own entries of a kind."""
    return [event for event in crew.events() if event["kind"] == kind]


def type_px(crew: Phone, part: str) -> int:
    """Size of type [px] of the first that answers to it."""
    size = f"getComputedStyle(document.querySelector('{part}')).fontSize"
    return round(float(crew.page.evaluate(size).removesuffix("px")))


def across(crew: Phone, part: str) -> tuple[int, int]:
    """Width and height [px] on the screen."""
    box = crew.page.locator(part).first.bounding_box()
    assert box is not None, part
    return round(box["width"]), round(box["height"])


def texts(crew: Phone, *parts: str) -> str:
    """The words of these parts of the board, one after another."""
    found = [" ".join(crew.page.locator(part).all_inner_texts()) for part in parts]
    return " ".join(" ".join(found).split())
