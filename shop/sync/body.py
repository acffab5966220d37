"""The body of a request: bounded, unpacked, decoded."""

import json
import zlib
from typing import Any

from django.http import HttpRequest

from shop.plan.canonical import DEEPEST, is_deep
from shop.sync.errors import BadMessage, TooBig, WireError

LIMIT = 10 * 1024 * 1024
GZIP = 16 + zlib.MAX_WBITS


def read_json(request: HttpRequest) -> dict[str, Any]:
    """The JSON object in the body. Raises BadMessage, TooBig, WireError."""
    raw = _unpacked(request, received(request))
    try:
        message = json.loads(raw.decode("utf-8"))
    except UnicodeDecodeError as bad:
        raise BadMessage("text", f"Byte {bad.start} is not UTF-8: {bad.reason}.") from bad
    except (ValueError, RecursionError) as bad:
        raise BadMessage("json", f"The message is not one whole JSON object: {bad}.") from bad
    if is_deep(message):
        raise BadMessage("json", f"Something in it is nested more than {DEEPEST} deep.")
    if not isinstance(message, dict):
        raise BadMessage("shape", f"The message is an object, not {type(message).__name__}.")
    return message


def received(request: HttpRequest) -> bytes:
    """The body as it came, at most the limit. Raises TooBig."""
    # Not `request.body`: Django's own limit there is 2.5 MB, for forms.
    length = request.META.get("CONTENT_LENGTH") or "0"
    if length.isdigit() and int(length) > LIMIT:
        raise TooBig(LIMIT, int(length))
    raw = request.read(LIMIT + 1)
    if len(raw) > LIMIT:
        raise TooBig(LIMIT, len(raw))
    return raw


def _unpacked(request: HttpRequest, raw: bytes) -> bytes:
    packing = request.headers.get("Content-Encoding", "identity").strip().lower()
    if packing == "identity":
        return raw
    if packing != "gzip":
        say = f"Content-Encoding is {packing[:40]!r}; gzip or none is understood."
        raise WireError(415, "packing", say)
    return _gunzip(raw)


def _gunzip(raw: bytes) -> bytes:
    """Never unpacks more than the limit, however small the packed bytes are."""
    packed = zlib.decompressobj(GZIP)
    try:
        plain = packed.decompress(raw, LIMIT + 1)
    except zlib.error as bad:
        raise BadMessage("packing", f"The body is not whole gzip: {bad}.") from bad
    if len(plain) > LIMIT:
        raise TooBig(LIMIT, None)
    if not packed.eof or packed.unused_data:
        raise BadMessage("packing", "The gzip body was cut short or something follows it.")
    return plain
