"""Adding phones with a code, and locking them out."""

from collections import defaultdict

import pytest

from shop.models import Device, JoinCode
from shop.store import phones, seen
from shop.store.access import access_device, access_token
from shop.store.clock import now_ms
from shop.store.errors import BadToken, LockedOut, NotHere, TooManyTries, WrongCode
from shop.store.tries import Tries
from tests.store.scene import Loft, add_phone

MINUTE = 60_000


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        self.now = 1_795_000_000_000

    def __call__(self) -> int:
        return self.now


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    standing = Clock()
    monkeypatch.setattr(phones, "wrong_tries", Tries())
    monkeypatch.setattr(phones, "now_ms", standing)
    return standing


def test_a_code_has_six_digits_and_works_once(loft: Loft) -> None:
    code = phones.new_code(loft.shop.id)
    assert len(code) == 6
    assert code.isdigit()
    joined = phones.join(code=code, address="once")
    assert access_token(joined.token).device == joined.device
    with pytest.raises(WrongCode, match="6 digits, holds 15 minutes and works once"):
        phones.join(code=code, address="once")


def test_a_code_runs_out_after_fifteen_minutes(loft: Loft, clock: Clock) -> None:
    first, second = phones.new_code(loft.shop.id), phones.new_code(loft.shop.id)
    clock.now += 15 * MINUTE - 1
    phones.join(code=first, address="late")
    clock.now += 1
    with pytest.raises(WrongCode, match="ask the office for a new one"):
        phones.join(code=second, address="late")


def test_neither_code_nor_token_can_be_read_in_the_store(loft: Loft) -> None:
    code = phones.new_code(loft.shop.id)
    assert all(code not in row.sha256 or len(row.sha256) == 64 for row in JoinCode.objects.all())
    assert loft.kettle.token not in set(Device.objects.values_list("token_sha256", flat=True))


def test_guessing_is_slowed_down_and_a_right_code_has_to_wait_too(loft: Loft, clock: Clock) -> None:
    code = phones.new_code(loft.shop.id)
    for guess in range(5):
        with pytest.raises(WrongCode, match="not a code"):
            phones.join(code=f"x{guess}", address="guesser")
    with pytest.raises(TooManyTries, match="5 wrong tries within a minute; the limit is 5"):
        phones.join(code=code, address="guesser")
    phones.join(code=phones.new_code(loft.shop.id), address="somebody else")
    clock.now += MINUTE
    assert phones.join(code=code, address="guesser").device


def test_many_addresses_together_are_slowed_down_as_well(loft: Loft, clock: Clock) -> None:
    for guess in range(30):
        with pytest.raises(WrongCode, match="not a code"):
            phones.join(code="nope", address=f"address {guess}")
    with pytest.raises(TooManyTries, match="the limit is 30"):
        phones.join(code="nope", address="fresh address")


def test_a_phone_locked_out_is_refused_and_its_events_still_come_by_anothers(loft: Loft) -> None:
    loft.table.presses(2)
    phones.lock_out(shop_id=loft.shop.id, device=loft.table.device)
    with pytest.raises(LockedOut, match=loft.table.device):
        access_token(loft.table.token)
    assert loft.kettle.push(loft.table.chain())[0].kept == [[1, 2]]


def test_a_phone_added_again_keeps_its_number_and_goes_on(loft: Loft) -> None:
    loft.kettle.presses(2)
    loft.kettle.push()
    code = phones.new_code(loft.shop.id)
    again = phones.join(code=code, address="again", device=loft.kettle.device)
    assert (again.device, again.token != loft.kettle.token) == (loft.kettle.device, True)
    with pytest.raises(BadToken, match="not known here"):
        access_token(loft.kettle.token)
    assert access_device(loft.shop.id, again.device).entries == 2


def test_the_servers_own_device_can_not_be_taken(loft: Loft) -> None:
    [server] = [phone for phone in phones.phones(loft.shop.id) if phone.is_server]
    code = phones.new_code(loft.shop.id)
    assert phones.join(code=code, address="thief", device=server.device).device != server.device
    with pytest.raises(NotHere, match="no phone"):
        phones.lock_out(shop_id=loft.shop.id, device=server.device)


def test_when_a_phone_was_heard_is_known_at_once_and_written_once_a_minute(
    loft: Loft, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = add_phone(loft.shop)
    device_id, start = phone.caller.device_id, now_ms() + 10 * MINUTE
    monkeypatch.setattr(seen, "_heard", defaultdict(dict))
    seen.flush(loft.shop.id, start)
    seen.heard(loft.shop.id, device_id, start + 1)
    assert access_device(loft.shop.id, phone.device).seen == start + 1
    seen.flush(loft.shop.id, start + MINUTE - 1)
    monkeypatch.setattr(seen, "_heard", defaultdict(dict))
    assert access_device(loft.shop.id, phone.device).seen is None
    seen.heard(loft.shop.id, device_id, start + 1)
    seen.flush(loft.shop.id, start + MINUTE)
    monkeypatch.setattr(seen, "_heard", defaultdict(dict))
    assert access_device(loft.shop.id, phone.device).seen == start + 1
