"""The kinds of event and what the body of each may hold.

A kind's body is a frozen dataclass; its fields are the contract. `static/js/record/kinds.js`
says the same, and a test compares the two.
"""

from dataclasses import MISSING, dataclass, field, fields
from typing import Any

VERSION = 1


@dataclass(frozen=True, slots=True)
class BatchOpened:
    """The sheet is frozen and the batch begins; `lead` has the boil."""

    sheet: str
    lead: str


@dataclass(frozen=True, slots=True)
class BatchClosed:
    """The record is complete as far as the crew is concerned."""


@dataclass(frozen=True, slots=True)
class BatchGivenUp:
    """The boil is lost; `mg` is the mass that is still usable."""

    mg: int
    text: str


@dataclass(frozen=True, slots=True)
class StepDone:
    """A step was done; `after` is the newest `step_undone` of it the presser had seen."""

    after: str = ""


@dataclass(frozen=True, slots=True)
class StepUndone:
    """A step is open again."""

    target: str


@dataclass(frozen=True, slots=True)
class StepPassed:
    """The crew went on without this step."""

    reason: str
    after: str = ""


@dataclass(frozen=True, slots=True)
class ReadingTaken:
    """The value n/d was read, in `unit`, on `instrument`, as it stood there."""

    what: str
    n: int
    d: int
    unit: str
    instrument: str
    how: str
    instead_of: str = ""


@dataclass(frozen=True, slots=True)
class Struck:
    """Another entry is struck through; both stay visible."""

    target: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class OwedAdded:
    """Something somebody still has to do or write down, `because` of what went off."""

    text: str
    because: str = ""


@dataclass(frozen=True, slots=True)
class OwedPaid:
    """An owed entry that needs no reading any more, and why."""

    key: str
    reason: str


@dataclass(frozen=True, slots=True)
class TallyCounted:
    """`add` more of something counted."""

    what: str
    add: int


@dataclass(frozen=True, slots=True)
class LotUsed:
    """Which lot of a material of the sheet is used, `""` for not said; `mg` where no record of the
    sheet weighs it; `also` = 1: beside the lot that stands, not instead of it."""

    material: str
    lot: str
    mg: int = 0
    also: int = 0


@dataclass(frozen=True, slots=True)
class LogTurned:
    """The log was turned end for end; `after` is the newest turn the presser had seen."""

    after: str = ""


@dataclass(frozen=True, slots=True)
class NoteWritten:
    """A remark in somebody's own words."""

    text: str


@dataclass(frozen=True, slots=True)
class FileKept:
    """A photo or a sound, by its content: SHA-256 in hex, bytes, media type, what it shows."""

    sha256: str
    size: int
    type: str
    what: str = ""


@dataclass(frozen=True, slots=True)
class HazardsRead:
    """The cautions were read together by these people."""

    people: list[str]


@dataclass(frozen=True, slots=True)
class CountdownStarted:
    """A countdown with an absolute deadline [ms, device clock]."""

    id: str
    label: str
    deadline: int


@dataclass(frozen=True, slots=True)
class CountdownStopped:
    """A countdown was answered."""

    id: str


@dataclass(frozen=True, slots=True)
class WentOff:
    """Something went off: a mark of the sheet, or `other` with words."""

    code: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class Mended:
    """What we changed because of something that went off."""

    id: str
    text: str


@dataclass(frozen=True, slots=True)
class HandoverOffered:
    """The boil is offered to `to`; `glance` = 1 for the short card inside the zone."""

    to: str
    glance: int


@dataclass(frozen=True, slots=True)
class HandoverTaken:
    """The offer `target` is taken after walking and asking; so many spot questions were `right`."""

    target: str
    questions: str
    walked: list[str] = field(default_factory=list)
    right: int = 0


@dataclass(frozen=True, slots=True)
class WalkStamped:
    """One of the two who hand over has walked past these places, for the offer `target`."""

    target: str
    places: list[str]


@dataclass(frozen=True, slots=True)
class BoilTaken:
    """The presser has the boil now; `from_` is who had it as far as they could see."""

    from_: str


@dataclass(frozen=True, slots=True)
class Seen:
    """The presser has seen the entry `target`, which is about them."""

    target: str


@dataclass(frozen=True, slots=True)
class StoodIn:
    """The presser looks after the station of the envelope, whose phone is silent."""


@dataclass(frozen=True, slots=True)
class StandsBeside:
    """`who` stands beside the presser, who has not yet done this skill alone."""

    skill: str
    who: str


@dataclass(frozen=True, slots=True)
class CrewChanged:
    """Who works on this batch from now on."""

    crew: list[dict[str, str]]


@dataclass(frozen=True, slots=True)
class SheetAmended:
    """The step named in the envelope is dropped from, or restored to, the sheet."""

    change: str
    reason: str


@dataclass(frozen=True, slots=True)
class Interrupted:
    """Work was interrupted; never any detail about a person's health."""

    cause: str


@dataclass(frozen=True, slots=True)
class CarriedOn:
    """The interruption `target` is over."""

    target: str
    how: str


KINDS: dict[str, type] = {
    "batch_opened": BatchOpened,
    "batch_closed": BatchClosed,
    "batch_given_up": BatchGivenUp,
    "step_done": StepDone,
    "step_undone": StepUndone,
    "step_passed": StepPassed,
    "reading_taken": ReadingTaken,
    "struck": Struck,
    "owed_added": OwedAdded,
    "owed_paid": OwedPaid,
    "tally_counted": TallyCounted,
    "lot_used": LotUsed,
    "log_turned": LogTurned,
    "note_written": NoteWritten,
    "photo_taken": FileKept,
    "sound_kept": FileKept,
    "hazards_read": HazardsRead,
    "countdown_started": CountdownStarted,
    "countdown_stopped": CountdownStopped,
    "went_off": WentOff,
    "mended": Mended,
    "handover_offered": HandoverOffered,
    "handover_taken": HandoverTaken,
    "walk_stamped": WalkStamped,
    "boil_taken": BoilTaken,
    "seen": Seen,
    "stood_in": StoodIn,
    "stands_beside": StandsBeside,
    "crew_changed": CrewChanged,
    "sheet_amended": SheetAmended,
    "interrupted": Interrupted,
    "carried_on": CarriedOn,
}

SHAPES: dict[Any, str] = {
    str: "text",
    int: "int",
    list[str]: "texts",
    list[dict[str, str]]: "people",
}


def shape(kind: str) -> dict[str, str]:
    """Field → `text`, `int`, `texts` or `people`, with `?` where it may be absent.

    >>> shape("struck")
    {'target': 'text', 'reason': 'text?'}
    """
    return {f.name.rstrip("_"): SHAPES[f.type] + _optional(f) for f in fields(KINDS[kind])}


def _optional(f: Any) -> str:
    return "" if f.default is MISSING and f.default_factory is MISSING else "?"


ALL_SHAPES: dict[str, dict[str, str]] = {kind: shape(kind) for kind in KINDS}


FAR = 2**51


def is_whole(value: object) -> bool:
    """A whole number small enough that two of them add exactly in every JavaScript engine."""
    return isinstance(value, int) and not isinstance(value, bool) and -FAR < value < FAR


def fits(value: object, form: str) -> bool:
    """Whether a body's value has the form that `shape` names."""
    match form.rstrip("?"):
        case "text":
            return isinstance(value, str)
        case "int":
            return is_whole(value)
        case "texts":
            return isinstance(value, list) and all(isinstance(v, str) for v in value)
        case _:
            return isinstance(value, list) and all(_is_person(v) for v in value)


PERSON = {"id", "name", "role"}


def _is_person(value: object) -> bool:
    return (
        isinstance(value, dict)
        and value.keys() >= PERSON
        and all(isinstance(v, str) for v in value.values())
    )


def body_fits(kind: str, body: object) -> bool:
    """Whether the body has all it must have, and nothing of the wrong form."""
    forms = ALL_SHAPES[kind]
    return (
        isinstance(body, dict)
        and all(name in body for name, form in forms.items() if not form.endswith("?"))
        and all(fits(value, forms[name]) for name, value in body.items() if name in forms)
    )
