"""PINs: who may say 'it was me' on a phone that several people press.

A PIN keeps colleagues from signing for one another; it keeps nothing from a thief. Its verifier
lies on every phone of the shop, and four to six figures are tried through in minutes whatever it
costs to try one (docs/decisions/0015-what-a-pin-is-for.md).
"""

import base64
import hashlib
import re
import secrets
from typing import Any

from django.db import transaction

from shop.models import Person, WrongPins
from shop.store.access import one_row
from shop.store.changes import note
from shop.store.clock import now_ms
from shop.store.errors import BadPin, MustWait, NoPin, WrongPin
from shop.store.shapes import Caller

# For PBKDF2-HMAC-SHA256 the OWASP Password Storage Cheat Sheet asks for 600,000 (as of 2023).
ITERATIONS = 600_000
SALT_BYTES = 16
KIND = "pbkdf2-sha256"
FIGURES = re.compile(r"[0-9]{4,6}")
# NIST SP 800-63B, 5.1.1.1: six figures at least where they are drawn and not chosen.
DRAWN = 6
ROWS = ("01234567890", "09876543210")
FREE_TRIES = 5
MINUTE_MS = 60_000
MOST_MINUTES = 60


def verifier(pin: str, *, salt: bytes, iterations: int = ITERATIONS) -> str:
    """The text a PIN is checked against: kind, iterations, salt and hash (RFC 8018, 5.2)."""
    found = hashlib.pbkdf2_hmac("sha256", pin.encode(), salt, iterations)
    return f"{KIND}${iterations}${_base64(salt)}${_base64(found)}"


def matches(text: str, pin: str) -> bool:
    """Whether this PIN is the one the verifier was made of."""
    _, iterations, salt, _ = text.split("$")
    again = verifier(pin, salt=_bytes(salt), iterations=int(iterations))
    return secrets.compare_digest(again, text)


def _base64(content: bytes) -> str:
    return base64.urlsafe_b64encode(content).rstrip(b"=").decode()


def _bytes(text: str) -> bytes:
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


def is_weak(pin: str) -> bool:
    """Whether it is one figure again and again, or figures in a row."""
    return len(set(pin)) == 1 or any(pin in row for row in ROWS)


def draw() -> str:
    """A PIN at random."""
    while True:
        pin = f"{secrets.randbelow(10**DRAWN):0{DRAWN}d}"
        if not is_weak(pin):
            return pin


def set_pin(*, shop_id: int, person: str, pin: str = "", by: str = "") -> str:
    """Give somebody this PIN, or one drawn at random; returned to be shown this once.

    Whoever had to wait after wrong ones may try at once. Raises BadPin, NotHere.
    """
    given = pin or draw()
    if not FIGURES.fullmatch(given) or is_weak(given):
        raise BadPin
    text = verifier(given, salt=secrets.token_bytes(SALT_BYTES))
    _keep(shop_id, person, text, by)
    return given


def clear_pin(*, shop_id: int, person: str, by: str = "") -> None:
    """From now on choosing this person's name is all there is. Raises NotHere."""
    _keep(shop_id, person, "", by)


def _keep(shop_id: int, key: str, text: str, by: str) -> None:
    """One transaction; the PIN itself is in no change that is noted."""
    with transaction.atomic():
        row = _person(Person.objects.select_for_update(), shop_id, key)
        before = {"PIN": "set" if row.pin else "none"}
        after = {"PIN": ("set anew" if row.pin else "set") if text else "none"}
        row.pin, row.pin_set = text, now_ms() if text else None
        row.save(update_fields=["pin", "pin_set"])
        WrongPins.objects.filter(person=row).delete()
        note(shop_id=shop_id, by=by, about=f"person {row.name}", before=before, after=after)


def verifiers(shop_id: int) -> dict[str, str]:
    """Person → verifier, for each who has a PIN."""
    rows = Person.objects.filter(shop_id=shop_id, active=True).exclude(pin="")
    return dict(rows.values_list("key", "pin"))


def check_pin(caller: Caller, *, person: str, pin: str) -> None:
    """Whether this is the person's PIN; wrong ones in a row on one device make it wait.

    Every try is counted, and committed, before it is looked at: no number of tries at once, and no
    restart, gets more of them. The row is locked while it is counted, not while it is looked at.
    Raises NotHere, NoPin, WrongPin, MustWait.
    """
    who = _person(Person.objects.filter(active=True), caller.shop.id, person)
    if not who.pin:
        raise NoPin(who.name)
    tries = _count(caller, who)
    if not FIGURES.fullmatch(pin) or not matches(who.pin, pin):
        raise WrongPin(who.name, tries, FREE_TRIES, wait_ms(tries) // 1000)
    tried = WrongPins.objects.filter(device_id=caller.device_id, person=who)
    tried.update(wrong=0, wait_until=0)


def wait_ms(wrong: int) -> int:
    """How long a device waits after so many wrong PINs in a row: 1 min after five, then 2, 4 …"""
    if wrong < FREE_TRIES:
        return 0
    minutes = int(2 ** min(wrong - FREE_TRIES, 6))
    return min(minutes, MOST_MINUTES) * MINUTE_MS


def _count(caller: Caller, who: Person) -> int:
    """Count this try as a wrong one, and return how many there are now. Raises MustWait."""
    with transaction.atomic():
        row, _ = WrongPins.objects.select_for_update().get_or_create(
            device_id=caller.device_id, person=who, defaults={"shop_id": caller.shop.id}
        )
        # Only now: whoever waited for the row would be early by the clock of before.
        moment = now_ms()
        if row.wait_until > moment:
            raise MustWait(who.name, row.wrong, -((moment - row.wait_until) // 1000))
        wrong: int = row.wrong + 1
        wait = wait_ms(wrong)
        row.wrong, row.wait_until = wrong, moment + wait if wait else 0
        row.save(update_fields=["wrong", "wait_until"])
    return wrong


def _person(people: Any, shop_id: int, key: str) -> Person:
    row: Person = one_row(people.filter(shop_id=shop_id, key=key), "person", key)
    return row
