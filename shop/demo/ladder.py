"""What the invented crew has learned, as their leads signed it some days before."""

from django.db import transaction

from shop.demo.scenario import PEOPLE
from shop.plan.numbers import defaults
from shop.store.clock import now_ms
from shop.store.shapes import ShopInfo
from shop.store.sign import Signer, sign
from shop.store.skills import DAY_MS

# The leads sign for each other.
LEADS = {"maren": "greta"}
ODO_WATCHED = ("pull", "spin")


def learn(shop: ShopInfo) -> None:
    """Every skill of the scenario done alone as often as is asked; Odo has watched two more."""
    with transaction.atomic():
        for person in PEOPLE:
            for skill in person.solo or ():
                for n in range(defaults()["solo_times"].value):
                    _sign(shop, person.id, skill, "solo", days_ago=20 - n)
        for skill in ODO_WATCHED:
            _sign(shop, "odo", skill, "watch", days_ago=6)


def _sign(shop: ShopInfo, person: str, skill: str, rung: str, *, days_ago: int) -> None:
    sign(
        shop_id=shop.id,
        person=person,
        skill=skill,
        rung=rung,
        happened=now_ms() - days_ago * DAY_MS,
        signer=Signer("demo", LEADS.get(person, "maren")),
    )
