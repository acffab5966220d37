"""Who works in the shop."""

from django.db import transaction

from shop.models import Person
from shop.store.access import access_person
from shop.store.changes import note
from shop.store.plain import people_of
from shop.store.shapes import PersonInfo


def people(shop_id: int, *, active_only: bool = False) -> list[PersonInfo]:
    """Everybody, by name."""
    return [person for person in people_of(shop_id) if person.active or not active_only]


def set_person(
    *,
    shop_id: int,
    key: str,
    name: str,
    role: str,
    active: bool = True,
    by: str = "",
    **reads: str,
) -> PersonInfo:
    """Add somebody, or change how they stand on the phones; nobody is ever removed.

    `reads`: `units` and `language`, where they are to change.
    """
    with transaction.atomic():
        values = {"name": name, "role": role, "active": active, **reads}
        before = Person.objects.filter(shop_id=shop_id, key=key).values(*values).first() or {}
        Person.objects.update_or_create(shop_id=shop_id, key=key, defaults=values)
        note(shop_id=shop_id, by=by, about=f"person {name}", before=before, after=values)
    return access_person(shop_id, key)


def set_active(*, shop_id: int, key: str, active: bool, by: str = "") -> None:
    """Whether somebody is offered on the phones. Raises NotHere."""
    known = access_person(shop_id, key)
    set_person(shop_id=shop_id, key=key, name=known.name, role=known.role, active=active, by=by)
