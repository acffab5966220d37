"""Errors of this room.

RecordError
├── NotAnEvent      the bytes are not an event at all
└── NoSuchQuantity  a graph names a quantity that does not stand before it
"""


class RecordError(Exception):
    """Root of this room's errors."""


class NotAnEvent(RecordError):
    """The text is not an event; `code` is stable, the sentence is for people."""

    def __init__(self, code: str, say: str, seq: int | None = None) -> None:
        super().__init__(say)
        self.code = code
        self.say = say
        self.seq = seq


class NoSuchQuantity(RecordError):
    """A reckoning graph refers to a name that does not stand before it."""

    def __init__(self, name: str, missing: str) -> None:
        super().__init__(f"{name} refers to {missing}, which does not stand before it")
        self.name = name
        self.missing = missing
