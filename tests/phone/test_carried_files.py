"""Files that are no entries, or not whole: refused with a clear word, and nothing of them kept."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Playwright

from shop.plan.canonical import canonical
from shop.record.check import decode
from shop.record.errors import NotAnEvent
from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.phone.conftest import stand
from tests.phone.walking import CARRIED, STAGE, device_of, event, file_of, take_along
from tests.programs import Program, running

ENVELOPE = """async (lines) => {
  const boot = document.querySelector('script[type=module]').src;
  const { eventOn } = await import(boot.replace('boot.js', 'record/envelope.js'));
  return lines.map((line) => eventOn(line) !== null);
}"""


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    with running(tmp_path_factory.mktemp("refusing") / "data", "demo") as started:
        yield started


@pytest.fixture(scope="module")
def maker(
    playwright: Playwright, program: Program, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[BrowserContext]:
    """The phone whose network is gone."""
    with phone(playwright, tmp_path_factory.mktemp("maker") / "phone") as context:
        stand(context.pages[0], program)
        wait_true(context.pages[0], f"{STAGE} === 'at the shop'")
        yield context


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
