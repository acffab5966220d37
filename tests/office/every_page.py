"""Every page of the office in one running program, with one tab for each who reads."""

from dataclasses import dataclass

from playwright.sync_api import Page, ViewportSize

from shop.screens.office.urls import urlpatterns

NARROW = ViewportSize(width=320, height=844)
# Something behind every address, an order with all that can be said, and a desk in German.
FILL = """
from django.contrib.auth import get_user_model
from shop.demo.order import SAID
from shop.store import lot_moves, orders, people, shops
from shop.store.access import access_shop
from tests.office.asks import a_picture, asks, set_up
users = get_user_model().objects
demo = access_shop("demo")
scene = set_up(demo)
who = ("Somebody invented", "somebody@customer.example")
said = {**SAID, "no_text": 0, "text": "\\u00c9LAN l0", "language": "French", "reads": "ring"}
orders.new_order(shop_id=demo.id, number="W-0800", customer="", who=who, title="Star",
                 due="2026-12-09", said=said, drawing=a_picture(demo))
lot_moves.hold(shop_id=demo.id, key="g42", why="Bits in it", by="pim")
anna = users.create_user(username="anna", is_staff=True)
shops.give_desk(shop_id=demo.id, user_id=anna.pk)
known = people.people(demo.id)[0]
people.set_person(shop_id=demo.id, key=known.key, name=known.name, role=known.role, language="de")
shops.say_who(shop_id=demo.id, user="anna", person=known.key, by="anna")
users.create_user(username="nobody")
answer = {name: ask.address(name) for name, ask in asks(scene).items()}
"""
# Files, parts of a page that the page itself asks for, and what is only posted to.
NOT_PAGES = {
    *("office-leave", "office-file", "office-card", "office-label-pdf", "office-picture-image"),
    *("office-record-json", "office-record-csv", "office-record-pdf", "office-record-live"),
    *("office-today-live", "office-lessons-offered", "office-order-answers"),
    *(f"office-picture-{part}" for part in ("worked", "parts", "decided", "seen")),
    *(f"office-picture-{act}" for act in ("change", "proof")),
    *("office-me", "office-open", "office-way-act", "office-way-force", "office-way-settle"),
    *("office-way-back", "office-phone-code", "office-phone-replace", "office-phone-found"),
    *("office-phone-lock", "office-person-pin", "office-person-desk", "office-person-switch"),
    *("office-ladder-seen", "office-ladder-strike", "office-injuries-erase"),
    *("office-injuries-readers", "office-desk", "office-numbers-of", "office-lot-act"),
    "office-tin",
    *("office-lot-papers", "office-label-lot", "office-week-hands", "office-order-stage"),
    *("office-order-day", "office-order-customer", "office-order-sent"),
}
# The floor's own screens in a frame; tests/floor and tests/office/test_look.py walk them.
OF_THE_FLOOR = {"office-way-phone", "office-specimen"}
NAMES = sorted({str(one.name) for one in urlpatterns} - NOT_PAGES - OF_THE_FLOOR)
# The same pages with something else on them.
MORE = (
    *("orders/W-0800/", "orders/W-0800/change/", "orders/week/?from=2026-11-23"),
    *("orders/?show=all", "way/step/hook.pull/", "way/step/colour.%7Bid%7D/", "lot/g42/"),
    *("boils/?words=nothing", "batch/demo-finished/again/", "batch/demo-finished/"),
    *("store-room/curcumin/", "trace/?find=S11", "trace/?lot=s118", "trace/?find=L6329A"),
    *("trace/?order=W-0117", "trace/?find=nothing", "compare/?a=demo-finished&b=demo-handover"),
    *("pictures/new/grid/?cells=20", "reckon/roll/", "guide/"),
)


@dataclass
class Walk:
    """Where the pages are, and who is signed in."""

    addresses: dict[str, str]
    desk: Page
    german: Page

    def address(self, name: str) -> str:
        """Of a page by its name, or of one of MORE."""
        if name == "office-enter":
            return "/office/sign-in/"
        return self.addresses.get(name) or f"/office/{name}"


def text_size(page: Page, px: int) -> None:
    """The reader's own size of type [px], as a browser's settings have it; usual is 16."""
    session = page.context.new_cdp_session(page)
    session.send("Page.setFontSizes", {"fontSizes": {"standard": px, "fixed": px}})
    session.detach()
