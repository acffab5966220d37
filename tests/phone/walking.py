"""Entries handed from phone to phone: the file, the phones' own word, the shop's log."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

from shop.plan.canonical import canonical
from tests.browsers import wait_true
from tests.phone.conftest import PRESS, at_the_roller
from tests.play.crew import OWN_LINES
from tests.programs import Program

BOIL = "demo-handover"
STAGE = "document.querySelector('.stage')?.textContent"
RODS = ".station [data-at=number]"
CARRIED = OWN_LINES.replace("'own'", "'carried'")
DEVICE = """new Promise((done) => {
  indexedDB.open('kettleside').onsuccess = ({ target: { result } }) => {
    const phone = result.transaction('phone').objectStore('phone').get('phone');
    phone.onsuccess = () => { result.close(); done(phone.result.device); };
  };
})"""


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
    return str(page.evaluate(DEVICE))


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
