"""Errors of this room.

StoreError
├── NotHere         no such shop, batch, sheet, device or person
├── BadToken        the token belongs to no device
├── LockedOut       the device was locked out in the office
├── WrongCode       the code is not one that adds a phone now
├── TooManyTries    too many wrong codes in too short a time
├── BadPin          what was typed can't be somebody's PIN
├── NoPin           the person has no PIN
├── WrongPin        it is not the person's PIN
├── MustWait        too many wrong PINs in a row for one person on one device
├── MayNotSign      whoever sits at the desk may not sign a skill
├── StillHolds      the phone has entries that are not here yet
├── NameTaken       another shop has this short name
├── BadEvent        the office act can't be written as an event
├── BadSheet        the sheet can't be frozen
├── LetterTaken     another open boil has this letter
├── BadFile         a photo or sound can't be kept as it came
├── CannotBeShown   what is kept under this name is no photo or sound
├── BackupWrong     a backup could not be taken, or is not one to restore
│   └── BackupThere  one was taken in this very second
├── NotBrought      the shops of another store were not brought in
│   ├── SlugTaken       a shop here has that short name
│   └── CameBefore      a phone of theirs is here already
├── ProofStale      the picture has changed since the proof was made
├── AlreadyApproved a proof is approved once
├── NumberTaken     another order has this number
├── OrderMoved      somebody changed the order meanwhile
├── LabelHeld       what holds a boil's label back
├── LabelStale      the boil is another than when this label was printed
├── NotOffered      the boils do not offer this number, or no longer
├── NotMelted       this scrap may not go into this boil
├── PhaseWrong      the batch is not in the phase the act needs
├── WayWrong        our way can’t be worked as it stands
├── WayMoved        another version of our way came meanwhile
└── OutOfRange      a number outside its limits
"""

from typing import Any

from shop.sentences import Sentence


class StoreError(Exception):
    """Root of this room's errors."""


class NotHere(StoreError):
    """There is no such thing in this shop."""

    def __init__(self, what: str, key: str) -> None:
        super().__init__(Sentence("There is no {what} {key!r} here.", what=what, key=key))
        self.what = what
        self.key = key


class BadToken(StoreError):
    """The token belongs to no device of any shop."""

    def __init__(self) -> None:
        super().__init__(
            Sentence("This phone's token is not known here. Add the phone again in the office.")
        )


class LockedOut(StoreError):
    """The office locked this device out."""

    def __init__(self, device: str, since: int) -> None:
        super().__init__(
            Sentence(
                "This phone ({device}) was locked out. What it holds is still on "
                "it; add it again in the office.",
                device=device,
            )
        )
        self.device = device
        self.since = since


class WrongCode(StoreError):
    """No code like this adds a phone now; used and run-out codes look the same."""

    def __init__(self, minutes: int) -> None:
        super().__init__(
            Sentence(
                "This is not a code that adds a phone now. A code has 6 digits, "
                "holds {minutes} minutes and works once: ask the office for a new "
                "one.",
                minutes=minutes,
            )
        )
        self.minutes = minutes


class TooManyTries(StoreError):
    """Wrong codes come too fast."""

    def __init__(self, tries: int, limit: int, wait_s: int) -> None:
        super().__init__(
            Sentence(
                "{tries} wrong tries within a minute; the limit is {limit}. Wait {wait_s} s.",
                tries=tries,
                limit=limit,
                wait_s=wait_s,
            )
        )
        self.tries = tries
        self.limit = limit
        self.wait_s = wait_s


class BadPin(StoreError):
    """A PIN nobody should have; the sentence never repeats what was typed."""

    def __init__(self) -> None:
        super().__init__(
            Sentence(
                "A PIN has 4 to 6 figures: not one figure again and again, and "
                "none in a row as 1234."
            )
        )


class NoPin(StoreError):
    """There is nothing to check against."""

    def __init__(self, name: str) -> None:
        super().__init__(
            Sentence("{name} has no PIN. The office sets one, under People.", name=name)
        )
        self.name = name


class WrongPin(StoreError):
    """Not the person's PIN; `wait_s` is how long the device waits now, 0 for not at all."""

    def __init__(self, name: str, tries: int, free: int, wait_s: int) -> None:
        then = Sentence("The next try is taken in {wait_s} s.", wait_s=wait_s)
        if not wait_s:
            then = Sentence(
                "Try {tries} of {free}; after {free} this phone waits.", tries=tries, free=free
            )
        super().__init__(Sentence("This is not the PIN of {name}. {then}", name=name, then=then))
        self.name = name
        self.tries = tries
        self.wait_s = wait_s


class MustWait(StoreError):
    """The device waits; what was typed was not even looked at."""

    def __init__(self, name: str, tries: int, wait_s: int) -> None:
        super().__init__(
            Sentence(
                "{tries} wrong PINs in a row for {name}. Wait {wait_s} s.",
                tries=tries,
                name=name,
                wait_s=wait_s,
            )
        )
        self.name = name
        self.tries = tries
        self.wait_s = wait_s


class MayNotSign(StoreError):
    """A skill is signed by somebody whose role may, at a desk that is theirs."""

    def __init__(self, who: str, roles: list[str]) -> None:
        super().__init__(
            Sentence(
                "A skill is signed by a {some}, and at this desk sits {who}. Let "
                "one of them sign at a desk of their own.",
                some=" or a ".join(roles),
                who=who,
            )
        )
        self.who = who
        self.roles = roles


class StillHolds(StoreError):
    """A phone may leave its old address only when all it made is here."""

    def __init__(self, made: int, here: int) -> None:
        super().__init__(
            Sentence(
                "This phone made {made} entries and {here} are here. Let it send the rest first.",
                made=made,
                here=here,
            )
        )
        self.made = made
        self.here = here


class NameTaken(StoreError):
    """Two shops with one short name could not be told apart in an address."""

    def __init__(self, slug: str) -> None:
        super().__init__(
            Sentence("There is a shop {slug!r} already. Choose another short name.", slug=slug)
        )
        self.slug = slug


class BadEvent(StoreError):
    """What the office asked for can't stand as an event; nothing was written."""

    def __init__(self, code: str, say: str) -> None:
        super().__init__(say)
        self.code = code


class BadSheet(StoreError):
    """The sheet can't be frozen; nothing was written."""

    def __init__(self, say: str) -> None:
        super().__init__(Sentence("The sheet can't be frozen: {say}", say=say))


class LetterTaken(StoreError):
    """Two boils with one letter would be mixed up on the floor."""

    def __init__(self, letter: str, batch: str) -> None:
        super().__init__(
            Sentence(
                "Boil {letter} is {batch} until it is closed. Choose another letter.",
                letter=letter,
                batch=batch,
            )
        )
        self.letter = letter
        self.batch = batch


class LabelHeld(StoreError):
    """Something holds the label of a boil back; each of `why` says what and what to do next."""

    def __init__(self, lot: str, why: list[str]) -> None:
        super().__init__(Sentence("No label for {lot} yet: {some}", lot=lot, some=" ".join(why)))
        self.lot = lot
        self.why = why


class LabelStale(StoreError):
    """A label that was printed says no longer what went into the boil."""

    def __init__(self, lot: str, number: int, copies: int) -> None:
        super().__init__(
            Sentence(
                "Label {number} of {lot} was printed {copies} times from what the "
                "record said then, and the record says otherwise now: print the "
                "label anew, and find the old ones.",
                number=number,
                lot=lot,
                copies=copies,
            )
        )
        self.lot = lot
        self.number = number
        self.copies = copies


class PhaseWrong(StoreError):
    """The batch is in another phase than the act needs."""

    def __init__(self, batch: str, phase: str, wanted: str) -> None:
        super().__init__(
            Sentence(
                "Batch {batch} is {phase}; this needs one that is {wanted}.",
                batch=batch,
                phase=phase,
                wanted=wanted,
            )
        )
        self.batch = batch
        self.phase = phase
        self.wanted = wanted


class BadFile(StoreError):
    """The photo or sound can't be kept; nothing of it was."""


class CannotBeShown(StoreError):
    """The bytes are kept as they came; they are no photo or sound that a browser may be given."""

    def __init__(self, name: str) -> None:
        super().__init__(
            Sentence(
                "The file {n}… is kept as it came and can't be shown: it is no "
                "photo or sound that this program reads.",
                n=name[:12],
            )
        )
        self.name = name


class BackupWrong(StoreError):
    """No good backup was made, or what should be restored is none."""

    def __init__(self, say: str) -> None:
        super().__init__(f"{say[0].upper()}{say[1:]}.")


class BackupThere(BackupWrong):
    """One was taken in this very second, and has its name."""

    def __init__(self, folder: object) -> None:
        super().__init__(
            Sentence("{folder} is there already; one backup a second is enough", folder=folder)
        )


class NotBrought(StoreError):
    """Nothing of the other store was brought in."""


class SlugTaken(NotBrought):
    """The short name stands for another shop here."""

    def __init__(self, slug: str, write: str) -> None:
        super().__init__(
            Sentence(
                "There is a shop {slug!r} here already. Give this one another "
                "short name: --slug {write}.",
                slug=slug,
                write=write,
            )
        )
        self.slug = slug


class CameBefore(NotBrought):
    """One token would open two shops."""

    def __init__(self, phone: str, slug: str) -> None:
        super().__init__(
            Sentence(
                "{phone} of that store is here already, in the shop {slug!r}: the "
                "store was brought in before.",
                phone=phone,
                slug=slug,
            )
        )
        self.phone = phone
        self.slug = slug


class ProofStale(StoreError):
    """What the customer saw is not what would be made."""

    def __init__(self, title: str) -> None:
        super().__init__(
            Sentence("{title!r} has been changed since. Ask the shop for a new proof.", title=title)
        )
        self.title = title


class AlreadyApproved(StoreError):
    """A yes is given once; a changed picture gets a proof of its own."""

    def __init__(self, title: str) -> None:
        super().__init__(Sentence("This proof of {title!r} is approved already.", title=title))
        self.title = title


class NumberTaken(StoreError):
    """Two orders with one number could not be told apart."""

    def __init__(self, number: str) -> None:
        super().__init__(
            Sentence("There is an order {number} already. Take another number.", number=number)
        )
        self.number = number


class OrderMoved(StoreError):
    """What would be written was read before somebody else's change."""

    def __init__(self, number: str) -> None:
        super().__init__(
            Sentence(
                "Somebody changed {number} while you wrote. Look at it as it is "
                "now, and say again what differs.",
                number=number,
            )
        )
        self.number = number


class NotOffered(StoreError):
    """The boils do not offer this number, or no longer; nothing was changed."""

    def __init__(self, lesson: str, value: int) -> None:
        super().__init__(
            Sentence(
                "The boils do not offer {value} for {lesson!r}; look at what they say now.",
                value=value,
                lesson=lesson,
            )
        )
        self.lesson = lesson
        self.value = value


class OutOfRange(StoreError):
    """A value outside its limits; nothing was changed."""

    def __init__(self, what: str, value: Any, low: Any, high: Any) -> None:
        super().__init__(
            Sentence(
                "{what} is {value!r}; it must be from {low} to {high}.",
                what=what,
                value=value,
                low=low,
                high=high,
            )
        )
        self.what = what
        self.value = value
        self.low = low
        self.high = high


class WayWrong(StoreError):
    """The way can't be worked, or takes away what the program says for safety."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__(" ".join(problems))
        self.problems = problems


class WayMoved(StoreError):
    """Somebody else put another version in force meanwhile."""

    def __init__(self, was: int, now: int) -> None:
        super().__init__(
            Sentence(
                "Version {now} came while this was worked on from version {was}. "
                "Look at what it changed, then begin again from it.",
                now=now,
                was=was,
            )
        )
        self.was, self.now = was, now


class NotMelted(StoreError):
    """The rules of rework are against it; nothing was changed."""

    def __init__(self, reasons: tuple[str, ...]) -> None:
        super().__init__(" ".join(reasons))
        self.reasons = reasons
