"""The training ladder: what each person was seen doing, who signed it, and how far they are."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import QuerySet

from shop.models import SkillNote
from shop.plan.numbers import Numbers, shop_numbers
from shop.plan.skills import RUNGS, ladder
from shop.store import read
from shop.store.batches import batches
from shop.store.clock import now_ms
from shop.store.numbers import numbers

DAY_MS = 86_400_000


@dataclass(frozen=True, slots=True)
class SkillNoted:
    """One note: a rung of a skill, when it was done, when and by whom it was signed."""

    key: str
    skill: str
    rung: str
    happened: int
    at: int
    boil: str
    signed_by: str
    note: str
    struck: bool


@dataclass(frozen=True, slots=True)
class SkillStanding:
    """How far somebody is with a skill. `alone`: as often as the shop asks; `rewatch`: away since.

    `last` is when it was last done, `signed_by` who signed that; None and "" where it never was.
    """

    skill: str
    watch: int
    assist: int
    solo: int
    last: int | None
    signed_by: str
    alone: bool
    rewatch: bool


@dataclass(frozen=True, slots=True)
class SkillSeen:
    """What the floor recorded: a person did this at a boil while `who` stood beside."""

    batch: str
    letter: str
    lot: str
    skill: str
    who: str
    at: int


def noted(shop_id: int, person: str) -> list[SkillNoted]:
    """Every note about a person, newest first, those that say another is wrong among them."""
    rows = SkillNote.objects.filter(shop_id=shop_id, person__key=person)
    return _all_noted(rows).get(person, [])


# Plain columns: three model instances for each of some thousand notes cost more than the page.
COLUMNS = ("person__key", "key", "skill", "rung", "happened", "at", "boil")
MORE = ("signed_by__name", "signed_user", "note", "answers")


def _all_noted(rows: QuerySet[SkillNote]) -> dict[str, list[SkillNoted]]:
    """Person → what these rows say of them, newest first. One query."""
    found = list(rows.order_by("-pk").values_list(*COLUMNS, *MORE))
    struck = {answers for *_, answers in found if answers}
    by_person: dict[str, list[SkillNoted]] = {}
    for person, key, skill, rung, happened, at, boil, signer, user, note, _ in found:
        told = SkillNoted(
            *(key, skill, rung, happened, at, boil, signer or user, note), struck=key in struck
        )
        by_person.setdefault(person, []).append(told)
    return by_person


def standings(shop_id: int, person: str) -> list[SkillStanding]:
    """How far a person is with each skill of the ladder, the first to learn first."""
    own, now, told = _numbers(shop_id), now_ms(), noted(shop_id, person)
    return [standing_of(skill.id, told, own, now) for skill in ladder()]


def standing_of(skill: str, told: Iterable[SkillNoted], own: Numbers, now: int) -> SkillStanding:
    """How far these notes bring somebody with a skill at `now` [ms]; struck ones count nowhere.

    `own` holds `solo_times` and `rewatch_days`, the shop's numbers.
    """
    found = [one for one in told if one.skill == skill and one.rung in RUNGS and not one.struck]
    times = {rung: sum(one.rung == rung for one in found) for rung in RUNGS}
    last = max(found, key=lambda one: one.happened, default=None)
    alone = times["solo"] >= own["solo_times"]
    away = last is not None and now - last.happened > own["rewatch_days"] * DAY_MS
    return SkillStanding(
        skill=skill,
        **times,
        last=last.happened if last else None,
        signed_by=last.signed_by if last else "",
        alone=alone,
        rewatch=alone and away,
    )


def _numbers(shop_id: int) -> Numbers:
    return shop_numbers({key: one.value for key, one in numbers(shop_id).items()})


def all_standings(shop_id: int) -> dict[str, list[SkillStanding]]:
    """Person → how far they are with each skill, of all of whom there is a note."""
    told = _all_noted(SkillNote.objects.filter(shop_id=shop_id))
    own, now = _numbers(shop_id), now_ms()
    return {
        person: [standing_of(skill.id, notes, own, now) for skill in ladder()]
        for person, notes in told.items()
    }


def all_solo(shop_id: int) -> dict[str, tuple[str, ...]] | None:
    """What the sheet says each person does alone; None where the shop keeps no ladder at all.

    A skill from which somebody was away too long is left out until it was watched again.
    """
    found = all_standings(shop_id)
    if not found:
        return None
    return {
        person: tuple(one.skill for one in some if one.alone and not one.rewatch)
        for person, some in found.items()
    }


def seen(shop_id: int, person: str, *, most: int) -> list[SkillSeen]:
    """What the floor recorded of a person in the newest boils, and nobody has signed or struck."""
    told = SkillNote.objects.filter(shop_id=shop_id, person__key=person).exclude(boil="")
    done = set(told.values_list("boil", "skill"))
    found: dict[tuple[str, str], SkillSeen] = {}
    newest = batches(shop_id, most=most)
    states = read.batch_states(newest)
    for batch in newest:
        for one in states[batch.key]["beside"]:
            place = (batch.key, one["skill"])
            if one["by"] == person and place not in done:
                where = (batch.key, batch.letter, batch.lot)
                found[place] = SkillSeen(*where, one["skill"], one["who"], one["at"])
    return list(found.values())
