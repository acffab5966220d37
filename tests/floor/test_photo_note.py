"""Photos and spoken notes: one press, bound to the step, kept strictly, without place or camera."""

from __future__ import annotations

import io
import json
from base64 import b64decode, b64encode
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import ExifTags, Image
from playwright.sync_api import BrowserContext, Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.floor.test_ready import MICROPHONE
from tests.play.crew import OWN_LINES
from tests.programs import Program, beside, running, wait_until

BLOCK, ROLLER, KETTLE = "demo-planned/block", "demo-handover/roller", "demo-planned/kettle"
SIDE = 1600
TREE = "document.querySelector('script[type=module]').src.replace('boot.js', 'screens/')"
# Bytes of every file on the phone, in base64, by their hash.
FILES = """() => new Promise((done) => {
  const request = indexedDB.open('kettleside');
  request.onsuccess = () => {
    const all = request.result.transaction('files').objectStore('files').getAll();
    const text = (bytes) => Array.from(new Uint8Array(bytes), (byte) => String.fromCharCode(byte));
    all.onsuccess = () => {
      request.result.close();
      done(all.result.map(({ sha256, type, bytes }) => [sha256, type, btoa(text(bytes).join(''))]));
    };
  };
})"""
SHRUNK = f"""async ([data, side, quality]) => {{
  const {{ shrunk }} = await import({TREE} + 'files.js');
  const bytes = Uint8Array.from(atob(data), (c) => c.charCodeAt(0));
  const file = new Blob([bytes], {{ type: 'image/jpeg' }});
  const made = new Uint8Array(await (await shrunk(file, side, quality)).arrayBuffer());
  return btoa(Array.from(made, (byte) => String.fromCharCode(byte)).join(''));
}}"""
# What a full disk does, as the standard names it (Web IDL, QuotaExceededError).
FULL = """const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function (...given) {
  if (window.full && this.name === 'files') throw new DOMException('full', 'QuotaExceededError');
  return put.apply(this, given);
};"""
ABOUT_FILES = """(line) => line.includes('"sha256"')"""
FILED = """
from shop.store import access, read
answer = read.batch_report(access.access_batch(access.only_shop().id, {!r}))["files"]
"""

# Where a station's keys lie, frame by frame from the first.
PLACES = """window.places = [];
const look = () => {
  const keys = [...document.querySelectorAll('.station .keys button, .station .stamps button')];
  const named = keys.filter(({ textContent }) => textContent);
  const lie = (key) => [key.textContent, key.getBoundingClientRect().x, key.offsetWidth];
  if (named.length) window.places.push(JSON.stringify(named.map(lie)));
  requestAnimationFrame(look);
};
look();"""


def camera_jpeg(width: int = 4000, height: int = 3000) -> bytes:
    """As a phone's camera writes it: turned by a tag, with the place it was taken at (Exif 2.32,
    tables 4 and 15)."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 6
    exif[ExifTags.Base.Make] = "Camera maker"
    place = {1: "N", 2: (51.0, 30.0, 26.5), 3: "W", 4: (0.0, 7.0, 39.9)}
    exif.get_ifd(ExifTags.IFD.GPSInfo).update(place)
    out, noise = io.BytesIO(), Image.effect_noise((width // 8, height // 8), 90)
    noise.resize((width, height)).convert("RGB").save(out, "JPEG", quality=90, exif=exif)
    return out.getvalue()


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    with running(tmp_path_factory.mktemp("photos") / "data", "demo") as started:
        yield started


@pytest.mark.parametrize("width", [390, 320])
@pytest.mark.parametrize("place", [KETTLE, ROLLER])
def test_no_key_moves_when_camera_and_microphone_come(
    playwright: Playwright, program: Program, tmp_path: Path, place: str, width: int
) -> None:
    """Whoever is about to press one presses that one."""
    with phone(playwright, tmp_path / "phone") as context:
        context.add_init_script(PLACES)
        page = context.pages[0]
        page.set_viewport_size({"width": width, "height": 844})
        base = f"http://localhost:{program.port}/floor/"
        page.goto(f"{base}#add={add_phone(program.data)['code']}")
        page.locator(".row", has_text="Maren").click(timeout=30_000)
        page.goto(f"{base}#/b/{place}")
        page.get_by_role("button", name="Photo").wait_for()
        assert len(set(page.evaluate("window.places"))) == 1


@pytest.fixture(scope="module")
def picture(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("camera") / "end.jpg"
    path.write_bytes(camera_jpeg())
    with Image.open(path) as made:
        assert made.getexif().get_ifd(ExifTags.IFD.GPSInfo)[2] == (51.0, 30.0, 26.5)
    return path


@pytest.fixture
def context(playwright: Playwright, program: Program, tmp_path: Path) -> Iterator[BrowserContext]:
    """A phone of the lead maker's that has camera and microphone."""
    with phone(playwright, tmp_path / "phone", flags=MICROPHONE) as found:
        found.add_init_script(FULL)
        page = found.pages[0]
        page.goto(f"http://localhost:{program.port}/floor/#add={add_phone(program.data)['code']}")
        page.locator(".row", has_text="Maren").click(timeout=30_000)
        page.locator(".row", has_text="L6329C").wait_for()
        yield found


def stand(page: Page, program: Program, place: str) -> None:
    page.goto(f"http://localhost:{program.port}/floor/#/b/{place}")
    page.get_by_role("button", name="Photo", exact=True).first.wait_for()


def shoot(page: Page, picture: Path) -> None:
    """One press, and what the camera then gives."""
    with page.expect_file_chooser() as chosen:
        page.locator(".station .keys").get_by_role("button", name="Photo").click()
    chosen.value.set_files(picture)


def own(page: Page, count: int) -> list[dict[str, Any]]:
    """The phone's own photos and notes, once there are so many."""
    wait_true(page, f"({OWN_LINES})().then((all) => all.filter({ABOUT_FILES}).length === {count})")
    return [json.loads(line) for line in page.evaluate(OWN_LINES) if '"sha256"' in line]


def opened(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def test_one_press_takes_a_photo_bound_to_the_step_and_block_without_its_place(
    context: BrowserContext, program: Program, picture: Path
) -> None:
    page = context.pages[0]
    stand(page, program, BLOCK)
    context.set_offline(True)
    shoot(page, picture)
    (event,) = own(page, 1)
    assert (event["batch"], event["station"], event["step"]) == (
        "demo-planned",
        "block",
        "block.lay-out",
    )
    ((sha256, kind, data),) = page.evaluate(FILES)
    assert (sha256, kind) == (event["body"]["sha256"], "image/jpeg")
    kept = b64decode(data)
    assert event["body"]["size"] == len(kept) < 1_000_000
    for left_out in (b"Exif", b"Camera maker", b"GPS", b"http://ns.adobe.com/xap"):
        assert left_out not in kept
    image = opened(kept)
    # Turned as the tag said, and its longest side as the shop set it.
    assert image.size == (SIDE * 3 // 4, SIDE)
    assert dict(image.getexif()) == {}
    # A pedal's next press finishes the step and opens no camera.
    assert page.evaluate("document.activeElement.className.includes('board')")
    context.set_offline(False)
    filed = FILED.format("demo-planned")
    wait_until(lambda: sha256 in str(beside(program.data, filed)), 60)
    (file,) = beside(program.data, filed)
    assert (file["step"], file["kind"], file["say"] != "") == ("block.lay-out", "photo", True)


def test_at_a_part_of_the_block_the_photo_names_the_block(
    context: BrowserContext, program: Program, picture: Path
) -> None:
    page = context.pages[0]
    stand(page, program, BLOCK)
    page.evaluate("document.querySelector('.station .finish').click()")
    later = page.locator(".panel.reading").get_by_role("button", name="Later")
    later.click()
    later.wait_for(state="detached")
    wait_true(page, "document.querySelector('.station .call')?.textContent === 'Hive'")
    shoot(page, picture)
    (event,) = own(page, 1)
    assert (event["step"], event["block"]) == ("block.hive", "hive")


def test_no_photo_is_made_larger_and_a_longer_side_or_more_quality_never_weighs_less(
    context: BrowserContext, program: Program
) -> None:
    page = context.pages[0]
    big, small = camera_jpeg(2400, 1800), camera_jpeg(400, 300)

    def made(data: bytes, side: int, quality: int) -> bytes:
        asked = [b64encode(data).decode(), side, quality]
        return b64decode(page.evaluate(SHRUNK, asked))

    sizes = [made(big, side, 800_000) for side in (800, 1600, 4000)]
    assert [max(opened(data).size) for data in sizes] == [800, 1600, 2400]
    assert sorted(map(len, sizes)) == list(map(len, sizes))
    qualities = [len(made(big, 800, quality)) for quality in (500_000, 800_000, 950_000)]
    assert sorted(qualities) == qualities
    assert opened(made(small, 1600, 800_000)).size == (300, 400)


def test_a_full_phone_says_so_and_drops_neither_the_photo_nor_what_it_held(
    context: BrowserContext, program: Program, picture: Path
) -> None:
    page = context.pages[0]
    stand(page, program, KETTLE)
    shoot(page, picture)
    before = own(page, 1)
    page.evaluate("void (window.full = true)")
    shoot(page, picture)
    page.get_by_text("This phone is full").first.wait_for()
    page.get_by_role("button", name="Close").click()
    assert own(page, 1) == before
    # The next press offers what waits, and opens no camera.
    page.locator(".station .keys").get_by_role("button", name="Photo").click()
    page.get_by_text("This phone is full").first.wait_for()
    page.evaluate("void (window.full = false)")
    page.get_by_role("button", name="Try again").click()
    assert own(page, 2)[0] == before[0]
    assert page.get_by_text("It was not kept").count() == 0


TWO = """async (js) => {
  const { openShelf } = await import(`${js}store/shelf.js`);
  await navigator.locks.request('kettleside-writer', () => {});
  const shelf = await openShelf(), photos = ['one', 'two', 'three'].map((text) => new Blob([text]));
  const draft = { batch: 'demo-planned', kind: 'photo_taken', body: {} };
  await Promise.all(photos.map((photo) => shelf.keepFile(photo, draft)));
  const again = await openShelf();
  return [shelf.record.toSend.length, again.record.toSend.length];
}"""


def test_photos_kept_at_the_same_moment_are_all_sent(
    context: BrowserContext, program: Program
) -> None:
    """Each write of the phone's record holds the names of those before it."""
    page = context.pages[0]
    js = page.evaluate("document.querySelector('script[type=module]').src.replace('boot.js', '')")
    page.goto(f"http://localhost:{program.port}/office/sign-in/")
    assert page.evaluate(TWO, js) == [3, 3]


def test_a_spoken_note_begins_and_ends_with_a_press_and_is_heard_again(
    context: BrowserContext, program: Program
) -> None:
    page = context.pages[0]
    stand(page, program, KETTLE)
    context.set_offline(True)
    page.get_by_role("button", name="Speak", exact=True).click()
    page.get_by_text("s left").first.wait_for()
    page.wait_for_timeout(1200)
    page.get_by_role("button", name="That is all").click()
    (event,) = own(page, 1)
    assert (event["kind"], event["station"]) == ("sound_kept", "kettle")
    assert event["step"].startswith("cook.")
    assert event["body"]["type"].startswith("audio/")
    page.goto(f"http://localhost:{program.port}/floor/#/b/demo-planned/back")
    page.locator(".row", has_text="Spoken note").click()
    page.get_by_text("Show it").click()
    wait_true(page, "document.querySelector('.choices audio')?.readyState > 0")
    context.set_offline(False)
    name, filed = event["body"]["sha256"], FILED.format("demo-planned")
    wait_until(lambda: name in str(beside(program.data, filed)), 60)


LONGEST = f"""async () => {{
  const {{ speak }} = await import({TREE} + 'soundnote.js'), kept = [];
  const sheet = {{ numbers: [{{ id: 'note_length', value: 1200 }}] }};
  const keepFile = async (blob, draft) => kept.push([blob.size, draft.step]);
  await speak({{ sheet: () => sheet, keepFile }}, {{ batch: 'b', step: 'cook.lid' }});
  return [kept, document.querySelector('.panel') === null];
}}"""


def test_a_spoken_note_ends_by_itself_after_the_shops_seconds(context: BrowserContext) -> None:
    kept, closed = context.pages[0].evaluate(LONGEST)
    assert closed
    ((size, step),) = kept
    assert (size > 0, step) == (True, "cook.lid")


def test_a_microphone_that_is_refused_or_missing_is_said(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    for n, (flags, says) in enumerate(((MICROPHONE[:1], "was refused"), ((), "no microphone"))):
        with phone(playwright, tmp_path / str(n), flags=flags) as context:
            page = context.pages[0]
            code = add_phone(program.data)["code"]
            page.goto(f"http://localhost:{program.port}/floor/#add={code}")
            page.locator(".row", has_text="Maren").click(timeout=30_000)
            page.locator(".row", has_text="L6329C").wait_for()
            stand(page, program, KETTLE)
            page.get_by_role("button", name="Speak", exact=True).click()
            page.get_by_text(says).first.wait_for()
            assert own(page, 0) == []
