"""What the desk sees of one person's way up the training ladder."""

from collections.abc import Iterable
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.utils.translation import gettext, gettext_lazy

from shop.plan.skills import RUNGS, ladder
from shop.screens.office.wording import moment, on_day
from shop.sentences import Sentence
from shop.store.skills import DAY_MS, SkillNoted, SkillSeen, SkillStanding

DID = {
    "watch": gettext_lazy("watched"),
    "assist": gettext_lazy("assisted"),
    "solo": gettext_lazy("alone"),
    "struck": gettext_lazy("struck a note through"),
}


@dataclass(frozen=True, slots=True)
class SkillLine:
    """A skill: how often watched, assisted, done alone; when last, by whose word; what is asked."""

    id: str
    name: str
    only: str
    watch: str
    assist: str
    solo: str
    last: str
    signed_by: str
    state: str
    asks: bool


@dataclass(frozen=True, slots=True)
class NoteLine:
    """One signed note; `may_strike` where it stands."""

    key: str
    name: str
    did: str
    happened: str
    boil: str
    signed: str
    note: str
    struck: bool
    may_strike: bool


@dataclass(frozen=True, slots=True)
class SeenLine:
    """What the floor recorded and nobody has signed yet."""

    batch: str
    skill: str
    words: str


@dataclass(frozen=True, slots=True)
class LadderPage:
    """One person's ladder; `times` and `days` are the shop's numbers."""

    key: str
    name: str
    skills: list[SkillLine]
    notes: list[NoteLine]
    seen: list[SeenLine]
    times: int
    days: int


def skill_lines(
    standings: Iterable[SkillStanding], *, times: int, now: int, zone: ZoneInfo
) -> list[SkillLine]:
    """Every skill of the ladder, the first to learn first."""
    known = {skill.id: skill for skill in ladder()}
    return [
        SkillLine(
            id=one.skill,
            name=Sentence(known[one.skill].name),
            only=known[one.skill].only,
            watch=_count(one.watch),
            assist=_count(one.assist),
            solo=gettext("%(n)s of %(times)s") % {"n": one.solo, "times": times}
            if one.solo < times
            else str(one.solo),
            last=on_day(one.last, zone),
            signed_by=one.signed_by,
            state=_state(one, now),
            asks=one.rewatch,
        )
        for one in standings
    ]


def _count(times: int) -> str:
    return str(times) if times else "–"


def _state(one: SkillStanding, now: int) -> str:
    if one.rewatch and one.last is not None:
        days = (now - one.last) // DAY_MS
        return gettext("watch again: %(n)s days away") % {"n": days}
    return gettext("does it alone") if one.alone else ""


def note_lines(told: Iterable[SkillNoted], boils: dict[str, str], zone: ZoneInfo) -> list[NoteLine]:
    """Every note, newest first; `boils` has a name for each batch."""
    names = {skill.id: Sentence(skill.name) for skill in ladder()}
    return [
        NoteLine(
            key=one.key,
            name=names.get(one.skill, one.skill),
            did=str(DID[one.rung]),
            happened=on_day(one.happened, zone),
            boil=boils.get(one.boil, one.boil),
            signed=f"{one.signed_by}, {moment(one.at, zone)}",
            note=one.note,
            struck=one.struck,
            may_strike=one.rung in RUNGS and not one.struck,
        )
        for one in told
    ]


def seen_lines(
    seen: Iterable[SkillSeen], name: str, people: dict[str, str], zone: ZoneInfo
) -> list[SeenLine]:
    """`Odo, Pulling. Maren stood beside, 25 Nov 2026, boil B.`"""
    names = {skill.id: Sentence(skill.name) for skill in ladder()}
    return [
        SeenLine(
            batch=one.batch,
            skill=one.skill,
            words=(
                f"{names[one.skill]}: {name}, and {people.get(one.who, one.who)} stood beside. "
                f"{on_day(one.at, zone)}, boil {one.letter}, lot {one.lot}."
            ),
        )
        for one in seen
        if one.skill in names
    ]
