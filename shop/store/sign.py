"""Signing what somebody was seen doing. A wrong note is answered by another, and both stay."""

import secrets
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from shop.models import Person, SkillNote
from shop.plan.crew import who_may
from shop.plan.skills import RUNGS, ladder
from shop.store.access import one_row
from shop.store.clock import now_ms
from shop.store.errors import MayNotSign, NotHere, OutOfRange
from shop.store.skills import noted

STRUCK = "struck"


@dataclass(frozen=True, slots=True)
class Signer:
    """Who signs: the user at the desk, and who that is among the shop's people ("" for nobody)."""

    user: str
    person: str


def sign(
    *,
    shop_id: int,
    person: str,
    skill: str,
    rung: str,
    happened: int,
    signer: Signer,
    boil: str = "",
    note: str = "",
    key: str = "",
) -> str:
    """Note that a person did one rung of a skill; the note's key. One `key` is noted once.

    `happened` [ms] is when, `boil` the batch in which the floor recorded it. Raises MayNotSign,
    NotHere, OutOfRange; then nothing was written.
    """
    moment = now_ms()
    if skill not in {known.id for known in ladder()}:
        raise NotHere("skill", skill)
    if rung not in RUNGS:
        raise NotHere("rung", rung)
    if not 0 < happened <= moment:
        raise OutOfRange("The moment it was done", happened, 1, moment)
    values = {"skill": skill, "rung": rung, "happened": happened, "at": moment, "boil": boil}
    return _add(shop_id, person, signer, key, {**values, "note": note})


def strike(*, shop_id: int, person: str, key: str, signer: Signer, note: str = "") -> None:
    """Answer a wrong note with one that says so; both stay. Struck before, it stays as it is.

    Raises MayNotSign, NotHere; then nothing was written.
    """
    wrong = next((one for one in noted(shop_id, person) if one.key == key), None)
    if wrong is None or wrong.rung == STRUCK:
        raise NotHere("signed note", key)
    if not wrong.struck:
        moment = now_ms()
        values = {"skill": wrong.skill, "rung": STRUCK, "happened": moment, "at": moment}
        _add(shop_id, person, signer, "", {**values, "answers": key, "note": note})


def _add(shop_id: int, person: str, signer: Signer, key: str, values: dict[str, Any]) -> str:
    """One note. A form that is sent twice finds the first one there."""
    learner = one_row(Person.objects.filter(shop_id=shop_id, key=person), "person", person)
    with transaction.atomic():
        signed_by = _may_sign(shop_id, signer)
        row, _ = SkillNote.objects.get_or_create(
            shop_id=shop_id,
            key=key or secrets.token_hex(16),
            defaults={
                **values,
                "person": learner,
                "signed_by": signed_by,
                "signed_user": signer.user,
            },
        )
    return row.key


def _may_sign(shop_id: int, signer: Signer) -> Person:
    """Raises MayNotSign, saying who is asked and who may."""
    found = Person.objects.filter(shop_id=shop_id, key=signer.person, active=True).first()
    if found is None or found.role not in who_may("sign_skill"):
        who = f"{found.name}, {found.role}" if found else "nobody of the shop's people"
        raise MayNotSign(who, who_may("sign_skill"))
    return found
