"""Photos of a record for paper: small, made of their pixels alone."""

import io
from collections.abc import Mapping, Sequence

from PIL import Image

from shop.screens.office.record_page import FileLine
from shop.store.errors import CannotBeShown, NotHere
from shop.store.shown import shown_file

# On paper 58 mm wide: about 200 dots per inch.
MOST_PIXELS = 480
QUALITY = 72


def photos_of(shop_id: int, files: Sequence[FileLine]) -> Mapping[str, bytes]:
    """SHA-256 of each photo that can be shown → a small JPEG of it."""
    found = {}
    for file in files:
        if file.is_photo and file.sha256 not in found:
            try:
                _, path = shown_file(shop_id, file.sha256)
            except (NotHere, CannotBeShown):
                continue
            found[file.sha256] = small(path.read_bytes())
    return found


def small(data: bytes) -> bytes:
    """A photo that was already made safe to show, at most 480 pixels each way, as JPEG."""
    with Image.open(io.BytesIO(data)) as photo:
        photo.thumbnail((MOST_PIXELS, MOST_PIXELS))
        out = io.BytesIO()
        photo.convert("RGB").save(out, "JPEG", quality=QUALITY)
    return out.getvalue()
