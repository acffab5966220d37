"""Entries that go from phone to phone by a file where there is no network, and to the shop once."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Playwright

from shop.plan.canonical import canonical
from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.phone.conftest import at_the_roller, stand
from tests.phone.dying import dying_phone, kill
from tests.phone.test_staying_right import TREE
from tests.phone.walking import (
    CARRIED,
    RODS,
    STAGE,
    carriers,
    device_of,
    event,
    file_of,
    hand_on,
    press,
    take_along,
    to,
)
from tests.play.crew import OWN_LINES
from tests.programs import Program, beside, running, wait_until

REFUSED_LATER = """async (js) => {
  const { openShelf } = await import(`${js}store/shelf.js`);
  const { forget } = await import(`${js}store/forgetting.js`);
  await navigator.locks.request('kettleside-writer', () => {});
  const shelf = await openShelf(), left = [];
  for (const days of [29, 31]) {
    await forget(shelf, shelf.now() + days * 24 * 3600000);
    left.push(shelf.carried.size);
  }
  return left;
}"""
PUSH = """
from shop.store import access, append
from shop.store.shapes import Chain
shop = access.only_shop()
carrier = access.access_token({token!r})
append.append_chains(shop_id=shop.id, carrier_id=carrier.device_id,
                     chains=[Chain({device!r}, {start}, tuple({lines!r}))])
answer = "carried"
"""


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    with running(tmp_path_factory.mktemp("carrying") / "data", "demo") as started:
        yield started


@pytest.fixture(scope="module")
def profile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("mate") / "phone"


@pytest.fixture(scope="module")
def maker(
    playwright: Playwright, program: Program, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[BrowserContext]:
    """The phone whose network is gone."""
    with phone(playwright, tmp_path_factory.mktemp("maker") / "phone") as context:
        stand(context.pages[0], program)
        wait_true(context.pages[0], f"{STAGE} === 'at the shop'")
        yield context


def test_a_walk_between_two_phones_brings_everything_to_the_shop_once(
    playwright: Playwright,
    program: Program,
    maker: BrowserContext,
    profile: Path,
    tmp_path: Path,
) -> None:
    there, back = tmp_path / "there.kettleside", tmp_path / "back.kettleside"
    page = maker.pages[0]
    other = add_phone(program.data)
    with dying_phone(playwright, profile) as context:
        mate = context.pages[0]
        stand(mate, program)
        wait_true(mate, f"{STAGE} === 'at the shop'")
        for each in (maker, context):
            each.set_offline(True)
        rods = int(press(page, program))
        assert int(press(page, program)) == rods + 1
        hand_on(page, program, there)
        assert re.match(r"New from Phone \d+: 2\n", take_along(mate, program, there))
        # Made twice, taken twice: nothing new.
        hand_on(page, program, there)
        assert "Nothing new" in take_along(mate, program, there)
        assert mate.evaluate(STAGE) == "carries 2"
        # With no server at all it stands on the mate's board; and the way back.
        assert int(press(mate, program)) == rods + 2
        hand_on(mate, program, back)
        assert re.match(r"New from Phone \d+: 1\n", take_along(page, program, back))
        at_the_roller(page, program)
        assert int(page.locator(RODS).inner_text()) == rods + 2
        kill(profile)
    device = device_of(page)
    assert carriers(program.data, device) == []
    # A second carrier brings one of the two before the mate's phone wakes.
    line = min(page.evaluate(OWN_LINES), key=lambda text: int(json.loads(text)["seq"]))
    named = {"device": device, "start": 1, "lines": [line], "token": other["token"]}
    assert beside(program.data, PUSH.format(**named)) == "carried"
    with phone(playwright, profile) as context:
        mate = context.pages[0]
        at_the_roller(mate, program)
        assert int(mate.locator(RODS).inner_text()) == rods + 2
        wait_true(mate, f"{STAGE} === 'at the shop'", 30)
        assert mate.evaluate(CARRIED) == []
        own = device_of(mate)
    # The maker itself comes last; the shop has it all.
    maker.set_offline(False)
    wait_true(page, f"{STAGE} === 'at the shop'", 40)
    assert page.evaluate(CARRIED) == []
    assert carriers(program.data, device) == [(1, other["device"]), (2, own)]
    assert [seq for seq, _ in carriers(program.data, own)] == [1]


def test_an_offered_handover_is_seen_with_no_server_at_all(
    program: Program, maker: BrowserContext, tmp_path: Path
) -> None:
    page, file = maker.pages[0], tmp_path / "offer.kettleside"
    device = add_phone(program.data)["device"]
    file.write_bytes(file_of([canonical(event(device, 1))]))
    maker.set_offline(True)
    assert "New from Phone 9: 1" in take_along(page, program, file)
    at_the_roller(page, program)
    page.get_by_text("Maren shows you the card: look on").first.wait_for()
    maker.set_offline(False)
    wait_until(lambda: len(carriers(program.data, device)) == 1, 40)


def test_what_the_shop_does_not_file_is_said_and_the_shops_own_word_stands(
    program: Program, maker: BrowserContext, tmp_path: Path
) -> None:
    """Two entries under one number: the shop has one of them, a file brought the other."""
    page, file = maker.pages[0], tmp_path / "fork.kettleside"
    there = add_phone(program.data)
    count = {"kind": "tally_counted", "station": "roller"}
    # The shop's stands behind all others, so that a fold could go on from what was there.
    one, two = (
        canonical(event(there["device"], 1, **count, hlc=hlc, body={"what": "rods", "add": add}))
        for add, hlc in ((3, [1_900_000_000_000, 0]), (400, [1_700_000_000_000, 0]))
    )
    maker.set_offline(True)
    at_the_roller(page, program)
    rods = int(page.locator(RODS).inner_text())
    named = {"device": there["device"], "start": 1, "lines": [one], "token": there["token"]}
    assert beside(program.data, PUSH.format(**named)) == "carried"
    file.write_bytes(file_of([two]))
    take_along(page, program, file)
    at_the_roller(page, program)
    assert int(page.locator(RODS).inner_text()) == rods + 400
    maker.set_offline(False)
    wait_true(page, f"document.querySelector('{RODS}')?.textContent === '{rods + 3}'", 40)
    wait_true(page, f"{STAGE} === 'at the shop'")
    to(page, program, "phone")
    page.get_by_text(f"file entry 1 of phone {there['device']}").first.wait_for()
    # Also after a new start.
    page.reload()
    at_the_roller(page, program)
    assert int(page.locator(RODS).inner_text()) == rods + 3


def test_an_entry_that_had_to_wait_gives_way_to_what_the_shop_has_meanwhile(
    program: Program, maker: BrowserContext, tmp_path: Path
) -> None:
    """It can't be filed before the one in front of it; by then its number is another's."""
    page, file = maker.pages[0], tmp_path / "waits.kettleside"
    there = add_phone(program.data)
    at_the_roller(page, program)
    rods = int(page.locator(RODS).inner_text())
    count = {"kind": "tally_counted", "station": "roller"}

    def counted(seq: int, add: int) -> str:
        return canonical(event(there["device"], seq, **count, body={"what": "rods", "add": add}))

    file.write_bytes(file_of([counted(2, 400)]))
    take_along(page, program, file)
    wait_true(page, f"{STAGE} === 'carries 1'")
    named = {"device": there["device"], "start": 1, "token": there["token"]}
    lines = [counted(1, 20), counted(2, 3)]
    assert beside(program.data, PUSH.format(**named, lines=lines)) == "carried"
    at_the_roller(page, program)
    wait_true(page, f"document.querySelector('{RODS}')?.textContent === '{rods + 420}'")
    # A minute later, by this phone's steady clock, it asks again.
    page.evaluate("(() => { const n = performance.now(); performance.now = () => n + 61000; })()")
    wait_true(page, f"document.querySelector('{RODS}')?.textContent === '{rods + 23}'", 40)
    wait_true(page, f"{STAGE} === 'at the shop'")
    # A month later only the shop still has what it set aside.
    tree = page.evaluate(TREE)
    page.goto(f"http://localhost:{program.port}/office/sign-in/")
    before, later = page.evaluate(REFUSED_LATER, tree)
    assert (before > 0, later) == (True, 0)
    at_the_roller(page, program)
