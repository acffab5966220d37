"""What people are shown of a photo or a sound: never the bytes of a photo as they came.

The bytes a phone sent are kept under their hash and stay what they are: an entry names that hash.
A browser gets a copy made of the pixels alone, made once and kept beside:

    files/.shown/ab/abcd….jpg     the copy
    files/.shown/ab/abcd….none    there is none: the file is no photo that can be shown
"""

import os
import subprocess
import sys
from pathlib import Path

from django.conf import settings

from shop.launch.places import files_folder, private_folder
from shop.picture.photo import NOTHING, SECONDS
from shop.store.errors import CannotBeShown
from shop.store.files import read_file

ENDS = {b"\xff\xd8\xff": ".jpg", b"\x89PNG\r\n\x1a\n": ".png"}
TYPES = {".jpg": "image/jpeg", ".png": "image/png"}
NONE = ".none"
# First bytes → what a sound is (WebM: EBML; Ogg: RFC 3533; MP4: ISO/IEC 14496-12, `ftyp`).
SOUNDS = {(0, b"\x1a\x45\xdf\xa3"): "audio/webm", (0, b"OggS"): "audio/ogg"}
SOUNDS |= {(4, b"ftyp"): "audio/mp4"}
CHILD = (sys.executable, "-m", "shop.picture.photo")


def shown_file(shop_id: int, name: str) -> tuple[str, Path]:
    """Media type and place of what a browser may be given of a file of this shop.

    Raises NotHere, CannotBeShown.
    """
    media, path = read_file(shop_id, name)
    if media.startswith("audio/"):
        return _sound(path), path
    copy = _kept(name) or _made(path, name)
    if copy.suffix == NONE:
        raise CannotBeShown(name)
    return TYPES[copy.suffix], copy


def _sound(path: Path) -> str:
    """What its first bytes say, whatever the phone called it. Raises CannotBeShown."""
    with path.open("rb") as file:
        head = file.read(12)
    for (at, sign), media in SOUNDS.items():
        if head[at:].startswith(sign):
            return media
    raise CannotBeShown(path.name)


def _folder(name: str) -> Path:
    return files_folder() / ".shown" / name[:2]


def _kept(name: str) -> Path | None:
    found = (_folder(name) / f"{name}{end}" for end in (*TYPES, NONE))
    return next((path for path in found if path.exists()), None)


def _made(path: Path, name: str) -> Path:
    """The copy, worked out in a process of its own and put in its place whole."""
    content, end = _clean(path)
    target = private_folder(_folder(name)) / f"{name}{end}"
    draft = target.with_suffix(f".{os.getpid()}.draft")
    draft.write_bytes(content)
    return draft.replace(target)


def _clean(path: Path) -> tuple[bytes, str]:
    """The copy's bytes and ending; nothing and `.none` for what is no photo, or took too long."""
    try:
        with path.open("rb") as photo:
            done = subprocess.run(  # noqa: S603  # ourselves, no shell
                CHILD,
                stdin=photo,
                capture_output=True,
                cwd=settings.BASE_DIR,
                env=_bare_environment(),
                timeout=SECONDS,
                check=False,
            )
    except subprocess.TimeoutExpired:
        return b"", NONE
    if done.returncode not in (0, NOTHING) and done.returncode > 0:
        # Not the photo's fault: nothing is remembered of it.
        raise CannotBeShown(path.name)
    ends = (end for sign, end in ENDS.items() if done.stdout.startswith(sign))
    end = NONE if done.returncode else next(ends, NONE)
    return (b"" if end == NONE else done.stdout), end


def _bare_environment() -> dict[str, str]:
    """Nothing of the shop's: no address of a database, no folder, no token."""
    left = ("PATH", "SYSTEMROOT", "LANG", "PYTHONPATH", "VIRTUAL_ENV")
    return {name: os.environ[name] for name in left if name in os.environ}
