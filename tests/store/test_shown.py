"""What browsers are given of photos and sounds; the bytes a phone sent stay as they came."""

import sys
from collections.abc import Callable
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from shop.store import shown
from shop.store.errors import CannotBeShown, NotHere
from shop.store.files import path_of, take_piece
from shop.store.shapes import Caller
from shop.store.shown import shown_file
from shop.store.verify import broken_links
from tests.picture.test_photo import SECRET, a_photo, with_place_and_camera
from tests.store.scene import Loft, keep_photo

WEBM, OGG, MP4 = b"\x1a\x45\xdf\xa3 sound", b"OggS sound", b"\0\0\0\x18ftypM4A sound"


@pytest.fixture(autouse=True)
def folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))


def keep(caller: Caller, content: bytes, media: str) -> str:
    name = sha256(content).hexdigest()
    take_piece(caller, name=name, start=0, size=len(content), media=media, piece=content)
    return name


def test_a_photo_is_shown_without_what_it_tells_of_its_maker(loft: Loft) -> None:
    came = with_place_and_camera() + SECRET
    name = keep_photo(loft.kettle.caller, came)
    media, path = shown_file(loft.shop.id, name)
    copy = path.read_bytes()
    assert media == "image/jpeg"
    assert [secret for secret in (b"Sugarcam", b"Exif", SECRET) if secret in copy] == []
    assert Image.open(BytesIO(copy)).size == (40, 60)
    # What the entry names by its hash is still what the phone made.
    assert path_of(name).read_bytes() == came
    assert list(broken_links()) == []


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> Callable[[], int]:
    """How often a copy was worked out."""
    times, real = [], shown._clean

    def clean(path: Path) -> tuple[bytes, str]:
        times.append(path)
        return real(path)

    monkeypatch.setattr(shown, "_clean", clean)
    return lambda: len(times)


def test_the_copy_is_made_once(loft: Loft, counted: Callable[[], int]) -> None:
    name = keep_photo(loft.kettle.caller, a_photo())
    assert shown_file(loft.shop.id, name) == shown_file(loft.shop.id, name)
    assert counted() == 1


def test_what_is_no_photo_is_kept_and_not_shown_and_not_tried_again(
    loft: Loft, counted: Callable[[], int]
) -> None:
    name = keep_photo(loft.kettle.caller, b"<html><script>alert(1)</script>")
    for _ in range(2):
        with pytest.raises(CannotBeShown, match="kept as it came"):
            shown_file(loft.shop.id, name)
    assert counted() == 1
    assert path_of(name).exists()


@pytest.mark.parametrize(
    ("content", "media"), [(WEBM, "audio/webm"), (OGG, "audio/ogg"), (MP4, "audio/mp4")]
)
def test_a_sound_is_what_its_first_bytes_say(loft: Loft, content: bytes, media: str) -> None:
    name = keep(loft.kettle.caller, content, "audio/ogg")
    assert shown_file(loft.shop.id, name) == (media, path_of(name))


def test_a_page_that_calls_itself_a_sound_is_not_shown(loft: Loft) -> None:
    name = keep(loft.kettle.caller, b"<html><script>", "audio/ogg")
    with pytest.raises(CannotBeShown):
        shown_file(loft.shop.id, name)


def test_another_shops_photo_is_not_here(loft: Loft, outsider: Loft) -> None:
    name = keep_photo(loft.kettle.caller, a_photo())
    shown_file(loft.shop.id, name)
    with pytest.raises(NotHere, match="no file"):
        shown_file(outsider.shop.id, name)


def test_the_process_that_opens_it_is_told_nothing_of_the_shop(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("DATABASE_URL", "postgresql://a:secret@h/n")
    assert not [name for name in shown._bare_environment() if name.startswith(("DATA", "KETTLE"))]


@pytest.mark.parametrize("ends", ["too slow", "killed"])
def test_one_that_takes_too_long_or_kills_its_process_is_not_shown(
    loft: Loft, monkeypatch: pytest.MonkeyPatch, ends: str, tmp_path: Path
) -> None:
    script = tmp_path / "child.py"
    script.write_text("import os, time\n" + ("time.sleep(60)" if "slow" in ends else "os.abort()"))
    monkeypatch.setattr(shown, "SECONDS", 0.5)
    monkeypatch.setattr(shown, "CHILD", (sys.executable, str(script)))
    name = keep_photo(loft.kettle.caller, a_photo())
    with pytest.raises(CannotBeShown):
        shown_file(loft.shop.id, name)


def test_a_fault_that_is_not_the_photos_is_not_remembered(
    loft: Loft, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = keep_photo(loft.kettle.caller, a_photo())
    with monkeypatch.context() as broken:
        broken.setattr(shown, "CHILD", (sys.executable, "-c", "raise SystemExit(1)"))
        with pytest.raises(CannotBeShown):
            shown_file(loft.shop.id, name)
    assert shown_file(loft.shop.id, name)[0] == "image/jpeg"
