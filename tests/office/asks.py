"""What is asked at every address of the office, and what would change if it were done.

The addresses are the program's own; `test_outsiders` fails where one has no line here.
"""

from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from shop.demo.scenario import demo_sheet
from shop.plan.drawing_work import Planned, from_grid
from shop.plan.numbers import shop_numbers
from shop.plan.own_way import applied, own_of, program_flat, stations_of
from shop.screens.office.picture_asks import USUAL_ORDER, opened
from shop.screens.office.picture_new import new_version
from shop.store import batches, drawings, incidents, lessons, phones, shops, ways
from shop.store.access import access_token
from shop.store.append import office_event
from shop.store.shapes import ShopInfo
from shop.store.sign import Signer, sign
from tests.office.label_asks import label_asks, print_one
from tests.office.order_asks import ask_for, order_asks
from tests.office.stock_asks import stock_asks, stock_scene
from tests.office.test_changes import SITE
from tests.office.test_desk import order
from tests.store.scene import a_photo, keep_photo

NOTE, MORE = "0" * 32, "1" * 32
DAY = 1_790_000_000_000
SECRET = "secret of the loft"
LESSON = "white_density"
CALL = "steps/cook.light/call"
WAITS = ["setup.boiling-water", "setup.tub", "setup.dress", "setup.gas"]
# Anybody may ask: nothing of a shop is behind them.
OPEN_TO_ALL = {"office-enter", "office-leave"}
# Not of a shop: whoever is signed in changes their own password.
OWN = "office-password"
# Named by something of the program, not of a shop; the preview shows the invented shop's boil.
NOT_OF_A_SHOP = {
    *("office-reckon-one", "office-guide-page", "office-way-step", "office-way-phone"),
}
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
    picture: str


def a_picture(shop: ShopInfo, title: str = "Star") -> str:
    """A red square in white, drawn on the grid and then once over; its id."""
    ground = [["white"] * 20 for _ in range(20)]
    cells = [
        row[:6] + ["red"] * 8 + row[14:] if 6 <= n < 14 else row for n, row in enumerate(ground)
    ]
    kept = from_grid(cells, "white", Planned(shop_numbers({}), 11_000_000, 14_000))
    first = new_version(kept, {"from": "grid"}, "Drawn on the grid")
    order = {**USUAL_ORDER, "hands": ["Maren", "Tobit"]}
    key = drawings.new_drawing(shop_id=shop.id, title=title, order=order, first=first).key
    drawings.add_version(shop_id=shop.id, key=key, on=1, version=first)
    return key


def set_up(demo: ShopInfo) -> Scene:
    """Something behind every address; KETTLESIDE_DATA is a folder of the test's own."""
    second = shops.create_shop(slug="second", name="The second loft")
    joined = phones.join(code=phones.new_code(demo.id), address="outside")
    photo = keep_photo(access_token(joined.token), a_photo("the face of the log"))
    boil = {"batch": "demo-next", "boil": {"letter": "G", "pattern": "dot"}}
    batches.plan_batch(shop_id=demo.id, sheet={**demo_sheet("demo-planned"), **boil})
    for kind, body in (
        ("stands_beside", {"skill": "pull", "who": "maren"}),
        ("note_written", {"text": SECRET}),
    ):
        office_event(shop_id=demo.id, batch="demo-handover", kind=kind, body=body, by="odo")
    ask_for(demo, SECRET)
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
    a_way(demo)
    picture = a_picture(demo, SECRET)
    print_one(demo)
    stock_scene(demo)
    # A proof is of a face that has been looked at.
    opened(demo, picture).seen().result(120)
    return Scene(demo, second, joined.device, joined.token, photo, picture)


def a_way(demo: ShopInfo) -> None:
    """A version in force, and more worked on: where the program has changed the same since."""
    for words in ("Light it", "Light it now"):
        own, _ = ways.draft(demo.id)
        flat = {**applied(own), CALL: words}
        ways.keep_draft(shop_id=demo.id, own=own_of(flat))
        if words == "Light it":
            ways.put_in_force(shop_id=demo.id, note_=SECRET, by="office")
    own, _ = ways.draft(demo.id)
    ways.keep_draft(shop_id=demo.id, own={**own, "was": {CALL: "As it was"}})


def offer(demo: ShopInfo) -> int:
    """What the invented boil taught of the white."""
    taught = {one.lesson.id: one.offer for one in lessons.what_boils_taught(demo.id).taught}
    return taught[LESSON] or 0


def asks(scene: Scene) -> dict[str, Ask]:
    """Name of the address → what is asked there."""
    planned, person, phone = {"key": "demo-next"}, {"key": "odo"}, {"device": scene.device}
    batch = {"key": "demo-handover"}
    ladder = {"skill": ["roll"], "rung": "watch", "day": "2026-11-20", "note": "", "key": MORE}
    seen = {"batch": "demo-handover", "skill": "pull"}
    told = {"kind": "injury", "happened": "2026-11-20T10:00", "text": "A burn", "key": MORE}
    drawn = {"key": scene.picture}
    star = "\n".join(["a" * 20] * 6 + ["a" * 6 + "d" * 8 + "a" * 6] * 8 + ["a" * 20] * 6)
    on_the_grid = {"ground": "white", "cells": star}
    new = {"title": "HI", "log": "11", "rod": "14"}
    letters = {**new, "kind": "text", "text": "HI", "ink": "red", "ground": "white", "height": "32"}
    new_shop = {"name": "Third", "slug": "third"}
    step = {"say": "Light it", "call": "Lit", "after": WAITS, "skill": "cook"}
    step["caution"] = "Flame: no sleeves"
    lists = {"marks": "Grain", "pass_reasons": "No hands", "hazards": "Hot; it is"}
    lists |= {f"station_{one}": one for one in stations_of(program_flat())}
    return {
        **{name: Ask(*asked) for name, asked in order_asks(scene.demo).items()},
        **{name: Ask(*asked) for name, asked in label_asks().items()},
        **{name: Ask(*asked) for name, asked in stock_asks().items()},
        **{f"office-{name}": Ask({}) for name in ("today", "today-live", "changes", "reckon")},
        **{f"office-{name}": Ask({}) for name in ("phones", "breakables")},
        **{f"office-{name}": Ask(batch) for name in ("sheet", "paper", "record", "record-live")},
        **{f"office-record-{name}": Ask(batch) for name in ("json", "csv", "pdf")},
        "office-card": Ask(batch),
        "office-compare": Ask({}),
        "office-reckon-one": Ask({"name": "boil"}),
        "office-file": Ask({"name": scene.photo}),
        OWN: Ask({}),
        "office-me": Ask({}, {"person": "odo"}),
        "office-boils": Ask({}),
        "office-guide": Ask({}),
        "office-look": Ask({}),
        "office-specimen": Ask({}),
        "office-guide-page": Ask({"name": "maker-01"}),
        "office-again": Ask(batch, order(letter="F")),
        "office-lessons-offered": Ask({}),
        "office-plan": Ask({}, order()),
        "office-open": Ask(planned, {}),
        "office-pictures": Ask({}),
        "office-picture-new": Ask({}, letters),
        "office-picture-new-grid": Ask({}, {**new, **on_the_grid}),
        **{
            f"office-picture{name}": Ask(drawn)
            for name in ("", "-worked", "-parts", "-decided", "-seen", "-sums")
        },
        "office-picture-image": Ask({**drawn, "number": "1"}),
        "office-picture-grid": Ask(drawn, on_the_grid),
        "office-picture-change": Ask(drawn, {"act": "undo"}),
        "office-picture-proof": Ask(drawn, {}),
        "office-numbers": Ask({}, {"id": "strokes", "value": "90"}),
        "office-numbers-of": Ask({"other": scene.second.slug}, {"follow": "yes"}),
        "office-lessons": Ask({}, {"id": LESSON, "act": "use", "value": offer(scene.demo)}),
        "office-way": Ask({}),
        "office-way-act": Ask({}, {"act": "add", "station": "hook"}),
        "office-way-force": Ask({}, {"why": "It is shorter"}),
        "office-way-settle": Ask({}, {"path": CALL}),
        "office-way-lists": Ask({}, lists),
        "office-way-back": Ask({"number": "1"}, {}),
        "office-way-between": Ask({"older": "0", "newer": "1"}),
        "office-way-step": Ask({"step": "cook.light"}, step),
        "office-way-phone": Ask({"step": "cook.light"}),
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
