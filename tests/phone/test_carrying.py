"""Entries that go from phone to phone by a file where there is no network, and to the shop once."""

from __future__ import annotations

import copy
import hashlib
import json
import os
import signal
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Error, Page, Playwright

from shop.plan.canonical import canonical
from shop.record.check import decode
from shop.record.errors import NotAnEvent
from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.phone.conftest import PRESS, at_the_roller, stand
from tests.phone.test_keeping import browser_of
from tests.play.crew import OWN_LINES
from tests.programs import Program, beside, running, wait_until

BOIL = "demo-handover"
STAGE = "document.querySelector('.stage')?.textContent"
RODS = ".station .number"
CARRIED = OWN_LINES.replace("'own'", "'carried'")
ENVELOPE = """async (lines) => {
  const boot = document.querySelector('script[type=module]').src;
  const { eventOn } = await import(boot.replace('boot.js', 'record/envelope.js'));
  return lines.map((line) => eventOn(line) !== null);
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
EPOCH = """
from shop.store import access
answer = access.only_shop().epoch
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


def to(page: Page, program: Program, place: str) -> None:
    page.goto(f"http://localhost:{program.port}/floor/#/{place}")


def hand_on(page: Page, program: Program, file: Path) -> list[str]:
    """The file this phone makes for another, and its lines."""
    to(page, program, "phone")
    page.locator(".row", has_text="Hand my entries").click()
    with page.expect_download() as saved:
        page.locator(".panel").get_by_text("Save it as a file").click()
    assert saved.value.suggested_filename.endswith(".kettleside")
    saved.value.save_as(file)
    return file.read_text("utf-8").splitlines()


def take_along(page: Page, program: Program, file: Path) -> str:
    """What the phone says to such a file."""
    to(page, program, "phone")
    with page.expect_file_chooser() as chosen:
        page.locator(".row", has_text="Carry another phone").click()
    chosen.value.set_files(file)
    said = page.locator(".panel").inner_text(timeout=20_000)
    page.locator(".panel").get_by_text("Close").click()
    return said


def press(page: Page, program: Program) -> str:
    """One rod more; the number that stands then."""
    at_the_roller(page, program)
    page.wait_for_timeout(1600)
    kept = page.evaluate("performance.getEntriesByName('kept').length")
    page.evaluate(PRESS)
    wait_true(page, f"performance.getEntriesByName('kept').length > {kept}")
    return page.locator(RODS).inner_text()


def carriers(data: Path, device: str) -> list[tuple[int, str | None]]:
    """Number of each entry of a device in the shop's log, and who brought it."""
    ask = """select e.seq, c.key from shop_event e join shop_device d on d.id = e.device_id
             left join shop_device c on c.id = e.carried_by_id where d.key = ? order by e.seq"""
    with closing(sqlite3.connect(data / "demo" / "kettleside.sqlite3")) as store:
        return list(store.execute(ask, [device]))


def device_of(page: Page) -> str:
    own: list[str] = page.evaluate(OWN_LINES)
    return str(json.loads(own[0])["device"])


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
    with suppress(Error), phone(playwright, profile) as context:
        mate = context.pages[0]
        stand(mate, program)
        wait_true(mate, f"{STAGE} === 'at the shop'")
        for each in (maker, context):
            each.set_offline(True)
        rods = int(press(page, program))
        assert int(press(page, program)) == rods + 1
        hand_on(page, program, there)
        assert "2 new entries" in take_along(mate, program, there)
        # Made twice, taken twice: nothing new.
        hand_on(page, program, there)
        assert "Nothing new" in take_along(mate, program, there)
        assert mate.evaluate(STAGE) == "carries 2"
        # With no server at all it stands on the mate's board; and the way back.
        assert int(press(mate, program)) == rods + 2
        hand_on(mate, program, back)
        assert "1 new entries" in take_along(page, program, back)
        at_the_roller(page, program)
        assert int(page.locator(RODS).inner_text()) == rods + 2
        for pid in browser_of(profile):
            os.kill(pid, signal.SIGKILL)
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


def event(device: str, seq: int, **changed: Any) -> dict[str, Any]:
    moment = 1_800_000_000_000 + seq
    return {
        **{"device": device, "seq": seq, "v": 1, "kind": "handover_offered", "batch": BOIL},
        **{"by": "maren", "recorded": moment, "happened": moment, "known": "pressed", "within": 0},
        **{"offset": 0, "bound": 20, "hlc": [moment, 0], "body": {"to": "isolde", "glance": 1}},
        **changed,
    }


def file_of(lines: list[str], **changed: Any) -> bytes:
    """A file as docs/contracts.md says, made without a phone."""
    first = json.loads(lines[0])
    digest = hashlib.sha256("\n".join(lines).encode()).hexdigest()
    chain = {"device": first["device"], "from_seq": first["seq"], "count": len(lines), "head": ""}
    header = {
        **{"kettleside": "entries", "v": 1, "shop": "demo", "epoch": "", "device": first["device"]},
        **{"name": "Phone 9", "chains": [{**chain, "sha256": digest}]},
        **changed,
    }
    return "\n".join([canonical(header), *lines, ""]).encode()


def test_an_offered_handover_is_seen_with_no_server_at_all(
    program: Program, maker: BrowserContext, tmp_path: Path
) -> None:
    page, file = maker.pages[0], tmp_path / "offer.kettleside"
    device = add_phone(program.data)["device"]
    file.write_bytes(file_of([canonical(event(device, 1))]))
    maker.set_offline(True)
    assert "1 new entries from Phone 9" in take_along(page, program, file)
    at_the_roller(page, program)
    page.get_by_text("Maren hands over to you").wait_for()
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
    page.get_by_text(f"file entry 1 of phone {there['device']}").wait_for()
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
    # A minute later, by this phone's clock, it asks again.
    page.evaluate("(() => { const was = Date.now; Date.now = () => was() + 61000; })()")
    wait_true(page, f"document.querySelector('{RODS}')?.textContent === '{rods + 23}'", 40)
    wait_true(page, f"{STAGE} === 'at the shop'")
    page.reload()


def refused(device: str, own: str) -> list[tuple[bytes, str]]:
    """Files that are not taken, and a part of what is said to each."""
    good = canonical(event(device, 1))
    spaced = json.dumps(event(device, 1))
    gone = canonical(event(own, 900))
    whole = file_of([good])
    return [
        (b"", "no file of entries"),
        (b"\x89PNG\r\n\x1a\n" + bytes(range(256)), "not even text"),
        (b'{"kettleside":' + b"[" * 5000, "no file of entries"),
        (b"{}\n" + good.encode(), "no file of entries"),
        (b"x" * 9_000_000, "9 MB; at most 8"),
        (file_of([good], shop="elsewhere"), "of another shop"),
        (file_of([good], v=2), "newer app"),
        (file_of([good], chains="all"), "head of this file"),
        (file_of([good], chains=[{"device": device, "from_seq": 1, "count": 1}]), "head of"),
        (whole[: len(whole) - 40], "sum is another"),
        (file_of([good, good])[: -len(good) - 1], "cut short"),
        (whole.replace(b'"isolde"', b'"tobit!"'), "sum is another"),
        (file_of([spaced]), "not as a phone makes it"),
        (file_of([canonical(event(device, 1, hlc=[1]))]), "not as a phone makes it"),
        (file_of([good, canonical(event(device, 3))]), "not as a phone makes it"),
        (file_of([good, canonical(event("another1", 2))]), "not as a phone makes it"),
        (file_of([canonical(event(device, 1, body={"to": "x" * 9000}))]), "not as a phone"),
        (file_of([gone]), "this very phone, which it has lost"),
    ]


def test_a_file_that_is_anything_else_is_refused_with_a_clear_word_and_nothing_is_kept(
    program: Program, maker: BrowserContext, tmp_path: Path
) -> None:
    page, file = maker.pages[0], tmp_path / "other.kettleside"
    device = add_phone(program.data)["device"]
    maker.set_offline(True)
    kept = page.evaluate(CARRIED)
    for content, words in refused(device, device_of(page)):
        file.write_bytes(content)
        said = take_along(page, program, file)
        assert "It was not taken" in said
        assert words in said, (content[:80], said)
    assert page.evaluate(CARRIED) == kept
    maker.set_offline(False)


Change = Callable[[dict[str, Any]], object]


def odd_lines() -> list[str]:
    """An event with each part of its envelope wrong in turn, and lines that are no event at all."""
    wrong: list[Any] = [None, "", "x", -1, 0, 1, 2**51, 2**53, True, [], [1, 2], [1, -2], {}]
    keys = [*event("abcdef", 1), "nth", "station", "step", "block", "for", "signed"]
    lines = []
    for key in keys:
        for value in wrong:
            lines.append(json.dumps({**event("abcdef", 1), key: value}, sort_keys=True))
        less = copy.deepcopy(event("abcdef", 1))
        less.pop(key, None)
        lines.append(json.dumps(less, sort_keys=True))
    return [line.replace(", ", ",").replace('": ', '":') for line in lines] + [
        *("", "null", "[]", "1", '"x"', "{", "{}", "[" * 5000, "x" * 9000, '{"a":1.5}'),
    ]


def test_phone_and_shop_agree_on_what_an_event_is(maker: BrowserContext) -> None:
    """The phone is the stricter: what it takes from a file the shop can read."""
    lines = odd_lines()
    taken = maker.pages[0].evaluate(ENVELOPE, lines)
    assert len(taken) == len(lines) > 200
    assert sum(taken) > 20
    for line, on_phone in zip(lines, taken, strict=True):
        assert on_phone == at_the_shop(line), line


def at_the_shop(line: str) -> bool:
    try:
        return canonical(decode(line)) == line
    except (NotAnEvent, TypeError):
        return False
