"""Photos and sounds: by the hash of their content, taken piece by piece, kept when whole.

files/ab/abcd…      the bytes, under their SHA-256
files/.parts/abcd…  what has come so far of one that is on its way
"""

import os
import re
from collections.abc import Iterator
from hashlib import file_digest, sha256
from pathlib import Path

from shop.launch.places import files_folder, private_folder
from shop.models import Device, KeptFile
from shop.store.access import shop_info
from shop.store.clock import now_ms
from shop.store.errors import BadFile, NotHere
from shop.store.shapes import Caller

MOST_BYTES = 20 * 1024 * 1024
TYPES = ("image/jpeg", "image/png", "image/webp", "audio/webm", "audio/ogg", "audio/mp4")
NAME = re.compile(r"[0-9a-f]{64}")


def take_piece(
    caller: Caller, *, name: str, start: int, size: int, media: str, piece: bytes
) -> int:
    """Add bytes from `start` on to a file of `size` [1 – 20 MiB]; how many are here now.

    A piece that does not begin where the last one ended is not taken. Raises BadFile; a whole
    file whose bytes have another hash is thrown away.
    """
    if not NAME.fullmatch(name):
        raise BadFile(f"{name[:20]!r} is no SHA-256 in hex.")
    if media not in TYPES:
        raise BadFile(f"The type is {media[:40]!r}; {', '.join(TYPES)} are kept.")
    if not 1 <= size <= MOST_BYTES:
        raise BadFile(f"The file has {size} bytes; it must have from 1 to {MOST_BYTES}.")
    if KeptFile.objects.filter(shop_id=caller.shop.id, sha256=name).exists():
        return size
    part = private_folder(files_folder() / ".parts") / name
    have = part.stat().st_size if part.exists() else 0
    if start == have and piece:
        have = _append(part, piece[: size - have])
    if have == size:
        _settle(caller, part, name, media)
    return have


def _append(part: Path, piece: bytes) -> int:
    with part.open("ab") as file:
        file.write(piece)
        file.flush()
        os.fsync(file.fileno())
        return file.tell()


def _settle(caller: Caller, part: Path, name: str, media: str) -> None:
    """Whole: under its own name, then in the table, so that a row never lacks its bytes."""
    if (found := hash_of(part)) != name:
        part.unlink()
        raise BadFile(f"Its bytes have the hash {found[:12]}…, not {name[:12]}…; send it again.")
    private_folder(path_of(name).parent)
    size = part.stat().st_size
    part.replace(path_of(name))
    KeptFile.objects.create(
        shop_id=caller.shop.id,
        sha256=name,
        size=size,
        type=media,
        received=now_ms(),
        device_id=caller.device_id,
    )


def keep_upload(*, shop_id: int, data: bytes, media: str) -> str:
    """A file given at the desk, kept whole by the shop's own device; its hash. Raises BadFile."""
    name = sha256(data).hexdigest()
    own = Device.objects.select_related("shop").filter(shop_id=shop_id, is_server=True)
    server = own.order_by("-pk")[0]
    caller = Caller(server.pk, server.key, server.head_seq, shop_info(server.shop))
    (files_folder() / ".parts" / name).unlink(missing_ok=True)
    take_piece(caller, name=name, start=0, size=len(data), media=media, piece=data)
    return name


def path_of(name: str) -> Path:
    """Where a file's bytes lie."""
    return files_folder() / name[:2] / name


def hash_of(path: Path) -> str:
    """SHA-256 of a file's bytes, in hex."""
    with path.open("rb") as file:
        return file_digest(file, "sha256").hexdigest()


def read_file(shop_id: int, name: str) -> tuple[str, Path]:
    """Media type and place of a file of this shop. Raises NotHere until it is here whole."""
    rows = KeptFile.objects.filter(shop_id=shop_id, sha256=name)
    if not NAME.fullmatch(name) or (row := rows.first()) is None:
        raise NotHere("file", name[:64])
    return row.type, path_of(row.sha256)


def broken_files(shop_id: int) -> Iterator[tuple[str, str]]:
    """Hash and fault of every file that is not what it was."""
    rows = KeptFile.objects.filter(shop_id=shop_id).order_by("pk")
    for name in rows.values_list("sha256", flat=True):
        if not path_of(name).exists():
            yield name, "its bytes are missing"
        elif (found := hash_of(path_of(name))) != name:
            yield name, f"its bytes have the hash {found[:12]}…"
