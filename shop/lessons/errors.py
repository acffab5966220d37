"""Errors of this room.

LessonsError
└── LeftOut  this boil says nothing of a number, and why
"""


class LessonsError(Exception):
    """Root of this room's errors."""


class LeftOut(LessonsError):
    """A boil says nothing of a number; the sentence is why."""
