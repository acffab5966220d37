"""What is asked at every address of the office, and what would change if it were done.

The addresses are the program's own; `test_outsiders` fails where one has no line here.
"""

from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from shop.demo.scenario import demo_sheet
from shop.store import batches, incidents, phones, shops
from shop.store.access import access_token
from shop.store.append import office_event
from shop.store.shapes import ShopInfo
from shop.store.sign import Signer, sign
from tests.office.test_changes import SITE
from tests.office.test_desk import order
from tests.store.scene import keep_photo

NOTE, MORE = "0" * 32, "1" * 32
DAY = 1_790_000_000_000
SECRET = "secret of the loft"
# Anybody may ask: nothing of a shop is behind them.
OPEN_TO_ALL = {"office-enter", "office-leave"}
# Not of a shop: whoever is signed in changes their own password.
OWN = "office-password"
# Of the company, and never under the name of one shop.
COMPANY = {"office-shops", "office-desk"}


@dataclass(frozen=True)
class Ask:
    """The parts of the address; and what a POST says that changes something, if one does."""

    names: dict[str, str]
    data: dict[str, Any] | None = None

    def address(self, name: str) -> str:
        return reverse(name, kwargs=self.names)


@dataclass(frozen=True)
class Scene:
    """What there is to be had and changed in the demo shop."""

    demo: ShopInfo
    second: ShopInfo
    device: str
    token: str
    photo: str


def set_up(demo: ShopInfo) -> Scene:
    """Something behind every address; KETTLESIDE_DATA is a folder of the test's own."""
    second = shops.create_shop(slug="second", name="The second loft")
    joined = phones.join(code=phones.new_code(demo.id), address="outside")
    photo = keep_photo(access_token(joined.token), b"the face of the log")
    boil = {"batch": "demo-next", "boil": {"letter": "G", "pattern": "dot"}}
    batches.plan_batch(shop_id=demo.id, sheet={**demo_sheet("demo-planned"), **boil})
    for kind, body in (
        ("stands_beside", {"skill": "pull", "who": "maren"}),
        ("note_written", {"text": SECRET}),
    ):
        office_event(shop_id=demo.id, batch="demo-handover", kind=kind, body=body, by="odo")
    incidents.tell(shop_id=demo.id, key=NOTE, kind="injury", happened=DAY, text=SECRET)
    sign(
        shop_id=demo.id,
        person="odo",
        skill="pull",
        rung="watch",
        happened=DAY,
        signer=Signer("office", "maren"),
        key=NOTE,
    )
    return Scene(demo, second, joined.device, joined.token, photo)


def asks(scene: Scene) -> dict[str, Ask]:
    """Name of the address → what is asked there."""
    planned, person, phone = {"key": "demo-next"}, {"key": "odo"}, {"device": scene.device}
    batch = {"key": "demo-handover"}
    ladder = {"skill": ["roll"], "rung": "watch", "day": "2026-11-20", "note": "", "key": MORE}
    seen = {"batch": "demo-handover", "skill": "pull"}
    told = {"kind": "injury", "happened": "2026-11-20T10:00", "text": "A burn", "key": MORE}
    new_shop = {"name": "Third", "slug": "third"}
    return {
        **{f"office-{name}": Ask({}) for name in ("today", "today-live", "changes", "reckon")},
        **{f"office-{name}": Ask({}) for name in ("phones", "breakables")},
        **{f"office-{name}": Ask(batch) for name in ("sheet", "paper", "record", "record-live")},
        **{f"office-{name}": Ask(batch) for name in ("record-json", "record-csv")},
        "office-reckon-one": Ask({"name": "boil"}),
        "office-file": Ask({"name": scene.photo}),
        OWN: Ask({}),
        "office-me": Ask({}, {"person": "odo"}),
        "office-plan": Ask({}, order()),
        "office-open": Ask(planned, {}),
        "office-numbers": Ask({}, {"id": "strokes", "value": "90"}),
        "office-numbers-of": Ask({"other": scene.second.slug}, {"follow": "yes"}),
        "office-site": Ask({}, {**SITE, "nearest_tap": "By the door"}),
        "office-phone-code": Ask({}, {}),
        "office-phone": Ask(phone, {"name": "Pan phone", "station": "kettle"}),
        "office-phone-replace": Ask(phone, {}),
        "office-phone-found": Ask(phone, {"found": "broken"}),
        "office-phone-lock": Ask(phone, {}),
        "office-people": Ask({}, {"name": "Ode", "role": "second hand"}),
        "office-person": Ask(person, {"name": "Odo", "role": "lead maker"}),
        "office-person-pin": Ask(person, {"pin": "7351"}),
        "office-person-desk": Ask(person, {"user": "company"}),
        "office-person-switch": Ask(person, {}),
        "office-ladder": Ask(person, ladder),
        "office-ladder-seen": Ask(person, seen),
        "office-ladder-strike": Ask(person, {"note": NOTE, "why": "It was Pim"}),
        "office-injuries": Ask({}, told),
        "office-injuries-erase": Ask({}, {"note": NOTE}),
        "office-injuries-readers": Ask({}, {"user": "company", "reads": "yes"}),
        "office-shops": Ask({}, new_shop),
        "office-desk": Ask({"slug": scene.demo.slug}, {"user": "stranger"}),
    }
