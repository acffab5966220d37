"""Photos and spoken notes: kept with no network, sent later, seen by others and in the office."""

from __future__ import annotations

import json
import struct
import zlib
from pathlib import Path

from playwright.sync_api import Page, Playwright

from tests.browsers import phone, wait_true
from tests.phone.conftest import stand, stored
from tests.play.crew import OWN_LINES
from tests.programs import Program, manage, wait_until

# A microphone and a permission that Chromium brings for tests.
MICROPHONE = ("--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream")
SHOWN = "document.querySelector('.choices img')?.naturalWidth > 0"
HEARD = "document.querySelector('.choices audio')?.duration > 0"
BACK = "#/b/demo-handover/back"


def png(side: int) -> bytes:
    """A grey square (PNG, W3C recommendation, section 5)."""

    def chunk(kind: bytes, content: bytes) -> bytes:
        whole = kind + content
        return struct.pack(">I", len(content)) + whole + struct.pack(">I", zlib.crc32(whole))

    rows = (b"\0" + bytes([127]) * side) * side
    header = struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)
    body = chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body


def write_down(page: Page, what: str) -> None:
    """The camera has a key of its own; where rods are counted, speaking is under 'Write'."""
    if what == "Photo":
        page.locator(".station .keys").get_by_role("button", name=what).click()
        return
    page.locator(".station .keys").get_by_text("Write", exact=True).click()
    page.locator(".panel").get_by_text(what, exact=True).click()


def kept_files(data: Path) -> list[str]:
    return sorted(p.name for p in (data / "demo" / "files").glob("??/*"))


def test_a_photo_and_a_spoken_note_are_kept_sent_and_shown_to_others(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    picture = tmp_path / "end.png"
    picture.write_bytes(png(900))
    with phone(playwright, tmp_path / "one", flags=MICROPHONE) as context:
        page = context.pages[0]
        stand(page, program)
        context.set_offline(True)
        with page.expect_file_chooser() as chosen:
            write_down(page, "Photo")
        chosen.value.set_files(picture)
        wait_true(page, f"({OWN_LINES})().then((all) => all.length === 1)")
        write_down(page, "Speak")
        page.wait_for_timeout(800)
        page.get_by_text("That is all").click()
        wait_true(page, f"({OWN_LINES})().then((all) => all.length === 2)")
        events = [json.loads(line) for line in page.evaluate(OWN_LINES)]
        assert [e["kind"] for e in events] == ["photo_taken", "sound_kept"]
        assert kept_files(program.data) == []
        context.set_offline(False)
        wait_until(lambda: len(kept_files(program.data)) == 2, 30)
        assert kept_files(program.data) == sorted(e["body"]["sha256"] for e in events)
    with phone(playwright, tmp_path / "two") as context:
        page = context.pages[0]
        stand(page, program)
        for words, shown in (("Photo", SHOWN), ("Spoken note", HEARD)):
            page.goto(f"http://localhost:{program.port}/floor/#/")
            page.goto(f"http://localhost:{program.port}/floor/{BACK}")
            page.locator(".row", has_text=words).click()
            page.get_by_text("Show it").click()
            wait_true(page, shown)
    assert "2 files" in manage(program.data, "verify", KETTLESIDE_SHOP="demo").stdout


def test_a_note_on_the_wrong_boil_is_struck_there_and_said_on_the_right_one(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "one") as context:
        page = context.pages[0]
        told = stored(program.data)
        stand(page, program)
        page.locator(".station .keys").get_by_text("Write", exact=True).click()
        page.locator(".panel input").fill("the kettle is chipped")
        page.locator(".panel").get_by_text("Write down", exact=True).click()
        page.goto(f"http://localhost:{program.port}/floor/{BACK}")
        page.locator(".row", has_text="the kettle is chipped").click()
        page.get_by_text("It belongs to boil C").click()
        wait_until(lambda: len(stored(program.data) - told) == 3, 20)
    notes = {}
    for batch in ("demo-handover", "demo-planned"):
        said = manage(program.data, "record", batch, "--json", KETTLESIDE_SHOP="demo").stdout
        notes[batch] = [note["text"] for note in json.loads(said)["notes"]]
    assert "the kettle is chipped" in notes["demo-planned"]
    assert "the kettle is chipped" not in notes["demo-handover"]
    new = sorted((json.loads(x) for x in stored(program.data) - told), key=lambda e: e["seq"])
    assert new[-1]["known"] == "said"
    assert abs(new[-1]["happened"] - new[0]["happened"]) < 2000
