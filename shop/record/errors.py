"""Errors of this room.

RecordError
└── NotAnEvent  the bytes are not an event at all
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
