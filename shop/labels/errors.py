"""Errors of this room.

LabelError
├── NoSuchPlace     no rules are kept for goods that go there
├── TooLong         the words don't fit on the label at the least size of letters
└── NoSuchLetters   the label's font lacks letters of its words
"""

from shop.sentences import Sentence


class LabelError(Exception):
    """Root of this room's errors."""


class NoSuchPlace(LabelError):
    """No rules are kept for goods that go there."""

    def __init__(self, place: str, known: tuple[str, ...]) -> None:
        super().__init__(
            Sentence(
                "No label rules for '{place}' here: choose one of {some}, or have "
                "the label made by whoever knows the rules there.",
                place=place,
                some=", ".join(known),
            )
        )
        self.place = place


class TooLong(LabelError):
    """The words don't fit on the label at the least size of letters."""

    def __init__(self, needed_um: int, high_um: int, letter_um: int) -> None:
        super().__init__(
            Sentence(
                "These words take {needed:.0f} mm at the least letter height allowed "
                "there ({least:.1f} mm); the label has {high:.0f} mm. Take a larger "
                "label, or shorten the shop's own lines under Labels.",
                needed=needed_um / 1000,
                least=letter_um / 1000,
                high=high_um / 1000,
            )
        )
        self.needed_um, self.high_um = needed_um, high_um


class NoSuchLetters(LabelError):
    """The label's font lacks letters of its words: on a label none is left out or changed."""

    def __init__(self, letters: str, text: str) -> None:
        super().__init__(
            Sentence(
                "The label's font has no {letters} as in '{text}': write it in Latin letters.",
                letters=letters,
                text=text[:60],
            )
        )
        self.letters = letters
