"""The people, phones and boils the tests of store and sync share.

The loft has one open boil, `b1`, and two phones: the lead maker's at the kettle, the second
hand's at the table. The outsider has a shop of their own in the same database.
"""

from dataclasses import dataclass, field
from hashlib import sha256
from io import BytesIO
from typing import Any

from django.db import connection
from PIL import Image

from shop.models import Person
from shop.plan.canonical import canonical
from shop.store import batches, people, phones, pins, shops
from shop.store.access import access_token
from shop.store.append import append_chains
from shop.store.files import take_piece
from shop.store.numbers import change_number
from shop.store.shapes import Answer, Caller, Chain, NewVersion, ShopInfo
from tests.record.histories import SHEET

START = 1_795_000_000_000
SITE = {"name": "Loft", **dict.fromkeys(("site_address", "emergency_number", "nearest_tap"), "")}
# What a whole sheet has besides; one that a phone brings must be whole.
REST: dict[str, Any] = {
    **{
        "lot": "",
        "day": "2026-11-25",
        "shop": SITE,
        "order_of_steps": list(SHEET["steps"]),
    },
    **{name: [] for name in ("parts", "marks", "hazards", "balance", "numbers", "pass_reasons")},
    **{"burn": {"lines": []}, "wait_choices_min": [0, 1]},
}


def sheet(batch: str = "b1", letter: str = "A") -> dict[str, Any]:
    """A small sheet that can be frozen."""
    boil = {"letter": letter, "pattern": "dot"}
    return {**SHEET, **REST, "batch": batch, "lot": f"L-{batch}", "boil": boil}


@dataclass
class Phone:
    """A phone that makes events, as the browser does."""

    device: str
    token: str
    caller: Caller
    made: list[str] = field(default_factory=list)

    def press(self, kind: str = "tally_counted", body: Any = None, **more: Any) -> str:
        """Make the next event, and return its line."""
        seq = len(self.made) + 1
        now = START + seq * 1000
        event = {
            **{"device": self.device, "seq": seq, "v": 1, "kind": kind, "batch": "b1"},
            **{"by": "maren", "recorded": now, "offset": 0, "bound": 5, "happened": now},
            **{"known": "pressed", "within": 0, "hlc": [now, 0]},
            "body": {"what": "rods", "add": 1} if body is None else body,
        }
        return self.say(canonical({**event, **more}))

    def say(self, line: str) -> str:
        """Make any line at all, and return it."""
        self.made.append(line)
        return line

    def presses(self, number: int) -> list[str]:
        return [self.press() for _ in range(number)]

    def chain(self, start: int = 1, end: int | None = None) -> Chain:
        """What this phone holds from number `start` to `end`, both included."""
        lines = tuple(self.made[start - 1 : end])
        return Chain(self.device, start, lines, self.head(start + len(lines) - 1))

    def head(self, seq: int | None = None) -> str:
        """The running head of docs/contracts.md, section 5."""
        head = ""
        for line in self.made[:seq]:
            head = sha256((head + line).encode("utf-8", "replace")).hexdigest()
        return head

    def push(self, *chains: Chain, received: int | None = None) -> list[Answer]:
        """Bring these chains, or all of its own."""
        brought = chains or (self.chain(),)
        shop, carrier = self.caller.shop.id, self.caller.device_id
        receipt = append_chains(shop_id=shop, carrier_id=carrier, chains=brought, received=received)
        return receipt.answers


def add_phone(shop: ShopInfo, address: str = "test") -> Phone:
    joined = phones.join(code=phones.new_code(shop.id), address=address)
    return Phone(joined.device, joined.token, access_token(joined.token))


@dataclass
class Loft:
    """A shop with an open boil and two phones."""

    shop: ShopInfo
    kettle: Phone
    table: Phone


def open_loft(slug: str = "loft") -> Loft:
    shop = shops.create_shop(slug=slug, name=slug.title())
    batches.open_batch(shop_id=shop.id, sheet=sheet(), lead="maren")
    return Loft(shop, add_phone(shop), add_phone(shop))


def give_pin(shop_id: int, key: str = "tobit", pin: str = "7351") -> None:
    """Somebody with a PIN, one that is checked in no time."""
    people.set_person(shop_id=shop_id, key=key, name=key.title(), role="second hand")
    quick = pins.verifier(pin, salt=b"a grain of salt", iterations=1000)
    Person.objects.filter(shop_id=shop_id, key=key).update(pin=quick)


def keep_photo(caller: Caller, content: bytes) -> str:
    """A photo that is here whole; its hash."""
    name, size = sha256(content).hexdigest(), len(content)
    take_piece(caller, name=name, start=0, size=size, media="image/jpeg", piece=content)
    return name


def a_photo(words: str = "a face") -> bytes:
    """A small whole photo, another one for other words."""
    shade = sha256(words.encode()).digest()
    out = BytesIO()
    Image.new("RGB", (32, 24), (shade[0], shade[1], shade[2])).save(out, "JPEG")
    return out.getvalue()


def a_version(what: str = "Drawn") -> NewVersion:
    """A picture's version; the store never looks into its pixels."""
    return NewVersion(what, b"pixels", {"palette": []})


def set_strokes(shop_id: int, value: Any) -> None:
    """How often the white is pulled: from 0 to 400 strokes."""
    change_number(
        shop_id=shop_id,
        key="strokes",
        value=value,
        unit="1",
        source="measured here",
        low=0,
        high=400,
        by="maren",
    )


def drop_trigger(name: str, table: str) -> str:
    """The statement that takes a guard away, in the words of the engine at hand."""
    return f"DROP TRIGGER {name}" + (f" ON {table}" if connection.vendor == "postgresql" else "")
