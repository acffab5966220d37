"""Errors of this room.

RecordError
├── NotAnEvent     the bytes are not an event at all
├── NotARecord     the file is no record that can be made anew
└── RecordChanged  something in the file of a record is not as it was made
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


class NotARecord(RecordError):
    """The file can't be read as a record."""

    def __init__(self, why: str) -> None:
        super().__init__(
            f"This is no record of a boil: {why}. Take the file that `record BATCH --json` wrote."
        )


class RecordChanged(RecordError):
    """The file's own hashes or pages don't agree with its entries."""

    def __init__(self, where: str, told: str, found: str) -> None:
        super().__init__(
            f"{where} was changed since the file was written: it says {told[:12]}…, what is in "
            f"it gives {found[:12]}…. Ask for the record again where it was made."
        )
        self.where, self.told, self.found = where, told, found
