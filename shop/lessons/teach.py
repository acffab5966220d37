"""From finished boils, oldest first, to what they taught: estimates, offers, boils left out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from shop.lessons.belief import DRIFT, Belief, Held, Seen, believe
from shop.lessons.catalogue import Lesson, lessons, looser
from shop.lessons.told import Said
from shop.sentences import Sentence

# A number is offered once it is this many of its own standard deviations away from what is set:
# less would be a new number after every boil. Judgement.
WORTH = 0.5


@dataclass(frozen=True, slots=True)
class BoilTold:
    """What one boil said of every lesson, or why it said nothing (`told.told`)."""

    batch: str
    lot: str
    said: Mapping[str, Said | str]


@dataclass(frozen=True, slots=True)
class Setting:
    """A number as the shop has it now; `held` is what was held before any boil.

    `declined`: the offer somebody said 'not this one' to, if any.
    """

    now: int
    held: int
    declined: int | None = None


class Why(StrEnum):
    """Why nothing is offered."""

    OFFERED = ""
    NO_BOILS = Sentence("No boil has said anything of it yet.")
    NOTHING_TO_SET = Sentence("Nothing to set: it is for whoever stands at the kettle.")
    AS_SET = Sentence("As it is set.")
    LOOSER = Sentence("It would loosen a caution or a limit: never from what was learned.")
    DECLINED = Sentence(
        "Not this one, somebody said; offered again when the boils say something else."
    )


@dataclass(frozen=True, slots=True)
class Taught:
    """What the boils say of a number: in `used` those that count, in `left_out` the rest with why.

    `offer` is in the fixed unit and within the number's range; None with the reason in `why`.
    """

    lesson: Lesson
    setting: Setting
    belief: Belief
    used: tuple[Seen, ...]
    lots: tuple[str, ...]
    left_out: tuple[tuple[str, str], ...]
    offer: int | None
    why: Why


def teach(boils: Sequence[BoilTold], settings: Mapping[str, Setting]) -> list[Taught]:
    """Every lesson from these boils, oldest first; `settings` by the number's key."""
    return [_taught(lesson, boils, settings) for lesson in lessons().values()]


def _taught(lesson: Lesson, boils: Sequence[BoilTold], settings: Mapping[str, Setting]) -> Taught:
    setting = settings.get(lesson.number, Setting(lesson.value, lesson.value))
    used, lots, left_out = [], [], []
    for index, boil in enumerate(boils):
        said = boil.said[lesson.id]
        if isinstance(said, str):
            left_out.append((boil.lot, said))
        else:
            used.append(Seen(index, said.value, said.sd, said.shared))
            lots.append(boil.lot)
    belief = learn(lesson, setting.held, tuple(used), len(boils))
    offer, why = offered(lesson, belief.now, setting, boils=len(used))
    rest = (tuple(lots), tuple(left_out), offer, why)
    return Taught(lesson, setting, belief, tuple(used), *rest)


def learn(
    lesson: Lesson,
    held: int,
    seen: tuple[Seen, ...],
    boils: int,
    *,
    drift: tuple[tuple[float, float], ...] = DRIFT,
) -> Belief:
    """What to believe of a lesson's number after so many boils."""
    return believe(float(held), lesson.doubt / 2, seen, boils, drift=drift)


def offered(
    lesson: Lesson, believed: Held, setting: Setting, *, boils: int
) -> tuple[int | None, Why]:
    """The number to offer, or why none; never in the direction that loosens a caution or limit."""
    if not boils:
        return None, Why.NO_BOILS
    if not lesson.number:
        return None, Why.NOTHING_TO_SET
    value = min(max(round(believed.value), lesson.low), lesson.high)
    if value == setting.now or abs(value - setting.now) < WORTH * believed.sd:
        return None, Why.AS_SET
    if looser(lesson.number) == ("up" if value > setting.now else "down"):
        return None, Why.LOOSER
    if setting.declined is not None and believed.low <= setting.declined <= believed.high:
        return None, Why.DECLINED
    return value, Why.OFFERED
