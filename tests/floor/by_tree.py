"""Somebody who hears the page: only the browser's accessibility tree is read, by role and name.

What a screen reader would say by itself is what changes inside live regions (WAI-ARIA 1.2:
`alert` is assertive, `status` polite), and an `alert` that comes. A press is focus and Enter, or
the tree's own action where a screen reader would take that.
"""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Page

AFTER_MS, AT_ONCE_MS, DISK_S = 1600, 200, 20
PRESSED = ("button", "link")
NAMED = (*PRESSED, "image", "img", "dialog", "textbox", "region", "group")


@dataclass
class Node:
    """One object of the tree, with what is inside it."""

    role: str
    name: str
    key: int
    props: dict[str, Any]
    inside: list[Node]

    def walk(self) -> Iterator[Node]:
        yield self
        for child in self.inside:
            yield from child.walk()

    @property
    def text(self) -> str:
        return " ".join(n.name for n in self.walk() if n.role == "StaticText").strip()


def tree_of(nodes: list[dict[str, Any]]) -> Node:
    """The page as a screen reader has it: what is ignored lets its children through."""
    by_id = {node["nodeId"]: node for node in nodes}

    def inside(node: dict[str, Any]) -> list[Node]:
        found: list[Node] = []
        for child in node.get("childIds", []):
            if child in by_id and "backendDOMNodeId" in by_id[child]:
                found += made(by_id[child])
        return found

    def made(node: dict[str, Any]) -> list[Node]:
        if node.get("ignored"):
            return inside(node)
        props = {p["name"]: p["value"].get("value") for p in node.get("properties", [])}
        name = node.get("name", {}).get("value", "")
        return [
            Node(node["role"]["value"], name, node["backendDOMNodeId"], props, inside(node)),
        ]

    return made(nodes[0])[0]


class Listener:
    """Hears a page, and presses by what it heard."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.session = page.context.new_cdp_session(page)
        self.presses = self.longest = 0
        self.heard: list[str] = []
        self.tree = self.read()

    def read(self) -> Node:
        tree = tree_of(self.session.send("Accessibility.getFullAXTree")["nodes"])
        self.longest = max(self.longest, sum(node.role in PRESSED for node in tree.walk()))
        return tree

    def all(self, role: str, name: str = ".*") -> list[Node]:
        """Objects of a role whose whole name matches, in the order they are heard."""
        return [n for n in self.tree.walk() if n.role == role and re.fullmatch(name, n.name)]

    def one(self, role: str, name: str = ".*") -> Node:
        found = self.all(role, name)
        everything = [(n.role, n.name) for n in self.tree.walk() if n.role in NAMED]
        assert len(found) == 1, f"{len(found)} times {role} {name!r} in {everything}"
        return found[0]

    @property
    def call(self) -> str:
        """What the board calls for: its heading."""
        return next(n.name for n in self.all("heading") if n.props["level"] == 1)

    @property
    def dialog(self) -> Node | None:
        found = self.all("dialog")
        assert len(found) <= 1
        return found[0] if found else None

    def wait(self, milliseconds: int) -> None:
        """The page's clock goes on; what is said meanwhile is heard.

        The disk keeps its own time: the page's clock stands still until it has answered.
        """
        self.heard = []
        self._hear(AT_ONCE_MS)
        deadline = time.monotonic() + DISK_S
        while any(node.name == "pressed" for node in self.tree.walk()):
            assert time.monotonic() < deadline, f"not kept within {DISK_S} s"
            time.sleep(0.02)
            self._hear(0)
        self._hear(milliseconds - AT_ONCE_MS)

    def _hear(self, milliseconds: int) -> None:
        self.page.clock.run_for(milliseconds)
        before, self.tree = self.tree, self.read()
        self.heard += said(before, self.tree)

    def press(self, role: str, name: str, key: str = "Enter") -> list[str]:
        """Focus and a key; afterwards the focus must be on something. Returns what was heard."""
        self.session.send("DOM.focus", {"backendNodeId": self.one(role, name).key})
        self.page.keyboard.press(key)
        return self.after()

    def act(self, role: str, name: str) -> list[str]:
        """The object's own action, as a screen reader asks for it: no key goes down."""
        node = {"backendNodeId": self.one(role, name).key}
        found = self.session.send("DOM.resolveNode", node)["object"]["objectId"]
        call = {"objectId": found, "functionDeclaration": "function () { this.click(); }"}
        self.session.send("Runtime.callFunctionOn", call)
        return self.after()

    def after(self) -> list[str]:
        self.presses += 1
        self.wait(AFTER_MS)
        assert self.focused().role != "RootWebArea"
        return self.heard

    def focused(self) -> Node:
        """The innermost object that has the focus."""
        return [node for node in self.tree.walk() if node.props.get("focused")][-1]

    def flaws(self) -> list[str]:
        """What nobody could make sense of by ear."""
        nameless = [n.role for n in self.tree.walk() if n.role in NAMED and not n.name]
        heads = [n.props.get("level") for n in self.tree.walk() if n.role == "heading"]
        mains = len(self.all("main"))
        here = self.dialog or self.tree
        twice = repeated([n.name for n in here.walk() if n.role in PRESSED])
        found = [f"without a name: {role}" for role in nameless]
        found += [f"headings {heads}"] if not heads or heads[0] != 1 or heads.count(1) != 1 else []
        found += [f"{mains} times main"] if mains != 1 else []
        return found + [f"two are called {name}" for name in twice]


def repeated(names: list[str]) -> list[str]:
    return sorted({name for name in names if names.count(name) > 1})


def live(tree: Node) -> dict[int, tuple[str, str]]:
    """Role and text of every live region."""
    regions = [n for n in tree.walk() if n.props.get("live") in ("polite", "assertive")]
    return {node.key: (node.role, node.text) for node in regions}


def said(before: Node, now: Node) -> list[str]:
    """Texts that changed in a region that stood there, and alerts that came."""
    known = live(before)
    return [
        text
        for key, (role, text) in live(now).items()
        if text and (known[key][1] != text if key in known else role == "alert")
    ]
