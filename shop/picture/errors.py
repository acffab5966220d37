"""Errors of this room.

PictureError
├── NotRead         a file that is no picture this program opens
├── TooLarge        a picture over a limit of size, or a section too small for one
├── TooSmallToRead  lettering below what hands or eye can make out
├── PartWrong       a part that is not there, or can't be split, merged or renamed so
└── HandsWrong      hands that can't be told apart
"""

from shop.sentences import Sentence


class PictureError(Exception):
    """Root of this room's errors."""


class NotRead(PictureError):
    """A file that is no picture this program opens; it says what to hand over instead."""

    def __init__(self, why: str, instead: str) -> None:
        super().__init__(Sentence("{why}; {instead}.", why=why, instead=instead))
        self.why, self.instead = why, instead


class TooLarge(PictureError):
    """A picture over a limit."""

    def __init__(self, name: str, value: float, limit: float, unit: str, instead: str) -> None:
        super().__init__(
            Sentence(
                "{name} is {value:g} {unit}; at most {limit:g} {unit}: {instead}.",
                name=name,
                value=value,
                unit=unit,
                limit=limit,
                instead=instead,
            )
        )
        self.name, self.value, self.limit, self.unit = name, value, limit, unit


class TooSmallToRead(PictureError):
    """Lettering below a limit."""

    def __init__(self, name: str, value_mm: float, limit_mm: float, instead: str) -> None:
        super().__init__(
            Sentence(
                "{name} is {value_mm:.2f} mm; it needs {limit_mm:.2f} mm: {instead}.",
                name=name,
                value_mm=value_mm,
                limit_mm=limit_mm,
                instead=instead,
            )
        )
        self.name, self.value_mm, self.limit_mm = name, value_mm, limit_mm


class PartWrong(PictureError):
    """A part that is not there, or can't be changed so."""

    def __init__(self, part: str, why: str, instead: str) -> None:
        super().__init__(Sentence("{part} {why}; {instead}.", part=part, why=why, instead=instead))
        self.part = part


class HandsWrong(PictureError):
    """Two hands of one name: nobody could tell whose turn it is."""

    def __init__(self, name: str) -> None:
        super().__init__(
            Sentence("Two hands are called {name}; give each a name of its own.", name=name)
        )
        self.name = name
