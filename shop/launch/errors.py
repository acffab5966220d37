"""What can keep the program from starting.

LaunchError
└── UnknownStoreError    KETTLESIDE_SHOP names no store
"""

from __future__ import annotations

from collections.abc import Sequence


class LaunchError(Exception):
    """The program cannot start; the sentence says what to do."""


class UnknownStoreError(LaunchError):
    """KETTLESIDE_SHOP names a store that does not exist."""

    def __init__(self, name: str, known: Sequence[str]) -> None:
        super().__init__(f"KETTLESIDE_SHOP is {name!r}; set it to one of: {', '.join(known)}.")
        self.name = name
        self.known = tuple(known)
