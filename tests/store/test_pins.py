"""PINs: their verifiers, who may have which, and what becomes of wrong ones."""

import base64
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.models import Person
from shop.store import people, pins
from shop.store.changes import changes
from shop.store.clock import now_ms
from shop.store.errors import BadPin, MustWait, NoPin, NotHere, WrongPin
from tests.store.scene import Loft, Phone, give_pin

PIN, OTHER = "7351", "8264"
MINUTE_MS = 60_000
BAD = ("123", "1234567", "12 45", "１３５７", "abcd", "1111", "000000", "1234", "8765", "567890")
# RFC 7914, section 11: PBKDF2-HMAC-SHA-256. Ours is the first 32 bytes of the 64 given there:
# each block of 32 is derived by itself (RFC 8018, 5.2).
PUBLISHED = (
    ("passwd", b"salt", 1, "55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc"),
    (
        "Password",
        b"NaCl",
        80_000,
        "4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56",
    ),
)
SHAPE = re.compile(r"pbkdf2-sha256\$600000\$[A-Za-z0-9_-]{22}\$[A-Za-z0-9_-]{43}")


@pytest.mark.parametrize(("password", "salt", "iterations", "found"), PUBLISHED)
def test_a_verifier_holds_the_published_hash(
    password: str, salt: bytes, iterations: int, found: str
) -> None:
    kind, rounds, *parts = pins.verifier(password, salt=salt, iterations=iterations).split("$")
    assert (kind, rounds) == ("pbkdf2-sha256", str(iterations))
    plain = [base64.urlsafe_b64decode(part + "==") for part in parts]
    assert plain == [salt, bytes.fromhex(found)]


@given(st.from_regex(r"[0-9]{4,6}", fullmatch=True), st.binary(min_size=1, max_size=33))
def test_a_verifier_matches_its_own_pin_and_no_other(pin: str, salt: bytes) -> None:
    text = pins.verifier(pin, salt=salt, iterations=2)
    assert pins.matches(text, pin)
    assert not any(pins.matches(text, other) for other in (f"{pin}0", pin[:-1], pin[::-1] + "1"))


def test_drawn_pins_have_six_figures_and_none_is_weak() -> None:
    drawn = [pins.draw() for _ in range(2000)]
    assert all(re.fullmatch("[0-9]{6}", pin) and not pins.is_weak(pin) for pin in drawn)
    # Of a million equally likely ones: that two thousand hold 20 pairs has a chance below 1e-12.
    assert len(set(drawn)) > 1980
    assert {pin[0] for pin in drawn} == set("0123456789")


@pytest.mark.parametrize("bad", BAD)
def test_a_pin_nobody_should_have_is_refused_and_not_repeated(loft: Loft, bad: str) -> None:
    give_pin(loft.shop.id)
    before = pins.verifiers(loft.shop.id)
    with pytest.raises(BadPin, match="4 to 6 figures") as refused:
        pins.set_pin(shop_id=loft.shop.id, person="tobit", pin=bad)
    assert str(refused.value) == str(BadPin())
    assert pins.verifiers(loft.shop.id) == before


def test_a_pin_is_set_changed_and_taken_away_and_each_is_noted_without_it(loft: Loft) -> None:
    shop = loft.shop.id
    people.set_person(shop_id=shop, key="tobit", name="Tobit", role="second hand")
    texts = []
    for pin in (PIN, "", OTHER):
        shown = pins.set_pin(shop_id=shop, person="tobit", pin=pin, by="greta")
        assert shown == pin or (not pin and re.fullmatch("[0-9]{6}", shown))
        pins.check_pin(loft.kettle.caller, person="tobit", pin=shown)
        texts.append(pins.verifiers(shop)["tobit"])
    assert len(set(texts)) == 3
    assert all(SHAPE.fullmatch(text) for text in texts)
    assert Person.objects.get(shop_id=shop, key="tobit").pin_set is not None
    pins.clear_pin(shop_id=shop, person="tobit", by="greta")
    assert pins.verifiers(shop) == {}
    assert Person.objects.get(shop_id=shop, key="tobit").pin_set is None
    noted = [(c.by, c.before, c.after) for c in changes(shop, most=4) if c.what == "PIN"]
    anew = ("greta", "set", "set anew")
    assert noted == [("greta", "set", "none"), anew, anew, ("greta", "none", "set")]


def test_two_with_the_same_pin_have_nothing_in_common_to_see(loft: Loft) -> None:
    for key in ("tobit", "isolde"):
        people.set_person(shop_id=loft.shop.id, key=key, name=key, role="second hand")
        pins.set_pin(shop_id=loft.shop.id, person=key, pin=PIN)
    one, other = (text.split("$")[2:] for text in pins.verifiers(loft.shop.id).values())
    assert not set(one) & set(other)


def test_without_a_pin_or_a_person_nothing_is_signed(loft: Loft, outsider: Loft) -> None:
    people.set_person(shop_id=loft.shop.id, key="pim", name="Pim", role="roller hand")
    with pytest.raises(NoPin, match="Pim has no PIN"):
        pins.check_pin(loft.kettle.caller, person="pim", pin="")
    give_pin(loft.shop.id)
    people.set_active(shop_id=loft.shop.id, key="tobit", active=False)
    for caller, person in (
        (loft.kettle.caller, "tobit"),
        (outsider.kettle.caller, "pim"),
        (loft.kettle.caller, "to\0bit"),
    ):
        with pytest.raises(NotHere, match="no person"):
            pins.check_pin(caller, person=person, pin=PIN)
    assert pins.verifiers(loft.shop.id) == {}


def guess(phone: Phone, times: int, person: str = "tobit") -> None:
    for _ in range(times):
        with pytest.raises(WrongPin, match="not the PIN of"):
            pins.check_pin(phone.caller, person=person, pin=OTHER)


def test_waits_double_from_one_minute_to_an_hour() -> None:
    minutes = [pins.wait_ms(wrong) / MINUTE_MS for wrong in range(13)]
    assert minutes == [0, 0, 0, 0, 0, 1, 2, 4, 8, 16, 32, 60, 60]
    assert pins.wait_ms(10**6) == 60 * MINUTE_MS


def test_after_five_wrong_ones_even_the_right_one_waits(
    loft: Loft, monkeypatch: pytest.MonkeyPatch
) -> None:
    give_pin(loft.shop.id)
    moment = now_ms()
    monkeypatch.setattr(pins, "now_ms", lambda: moment)
    guess(loft.kettle, 5)
    for seconds, wait in ((0, 60), (59.9, 1)):
        monkeypatch.setattr(pins, "now_ms", lambda s=seconds: moment + int(s * 1000))
        with pytest.raises(MustWait, match=f"5 wrong PINs in a row for Tobit. Wait {wait} s"):
            pins.check_pin(loft.kettle.caller, person="tobit", pin=PIN)
    monkeypatch.setattr(pins, "now_ms", lambda: moment + MINUTE_MS)
    guess(loft.kettle, 1)
    monkeypatch.setattr(pins, "now_ms", lambda: moment + 3 * MINUTE_MS - 1)
    with pytest.raises(MustWait, match="6 wrong PINs"):
        pins.check_pin(loft.kettle.caller, person="tobit", pin=PIN)
    monkeypatch.setattr(pins, "now_ms", lambda: moment + 3 * MINUTE_MS)
    pins.check_pin(loft.kettle.caller, person="tobit", pin=PIN)
    guess(loft.kettle, 5)


def test_before_the_fifth_nobody_waits_also_where_a_clock_is_put_back(
    loft: Loft, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One of several processes may read its clock before another counts, and count after it."""
    give_pin(loft.shop.id)
    moment = now_ms()
    for wrong in range(4):
        monkeypatch.setattr(pins, "now_ms", lambda w=wrong: moment - w)
        guess(loft.kettle, 1)
    pins.check_pin(loft.kettle.caller, person="tobit", pin=PIN)


def test_wrong_ones_are_counted_for_each_person_on_each_device(loft: Loft) -> None:
    for key in ("tobit", "isolde"):
        give_pin(loft.shop.id, key)
    guess(loft.kettle, 5)
    with pytest.raises(MustWait):
        pins.check_pin(loft.kettle.caller, person="tobit", pin=PIN)
    pins.check_pin(loft.kettle.caller, person="isolde", pin=PIN)
    pins.check_pin(loft.table.caller, person="tobit", pin=PIN)
    with pytest.raises(MustWait):
        pins.check_pin(loft.kettle.caller, person="tobit", pin=PIN)


def test_a_right_one_in_between_begins_the_count_anew(loft: Loft) -> None:
    give_pin(loft.shop.id)
    for _ in range(3):
        guess(loft.kettle, 4)
        pins.check_pin(loft.kettle.caller, person="tobit", pin=PIN)


def test_a_new_pin_lets_whoever_waits_try_at_once(loft: Loft) -> None:
    give_pin(loft.shop.id)
    guess(loft.kettle, 5)
    pins.set_pin(shop_id=loft.shop.id, person="tobit", pin=OTHER)
    pins.check_pin(loft.kettle.caller, person="tobit", pin=OTHER)


def test_what_is_no_pin_at_all_counts_as_a_wrong_one(loft: Loft) -> None:
    give_pin(loft.shop.id)
    for typed in ("", "x" * 200, "１３５７", PIN + "\n", " " + PIN):
        with pytest.raises(WrongPin):
            pins.check_pin(loft.kettle.caller, person="tobit", pin=typed)
    with pytest.raises(MustWait):
        pins.check_pin(loft.kettle.caller, person="tobit", pin=PIN)
