"""Every decoder that is hunted for long: how it is fed, and how an input is changed a little."""

import random
import zlib
from collections.abc import Callable
from dataclasses import dataclass

from tests.fuzz import decoders
from tests.fuzz.trees import by_character, mutated
from tests.fuzz.watch import Feed

LATIN = "latin-1"
PNG = b"\x89PNG\r\n\x1a\n"

Change = Callable[[bytes, random.Random], bytes]


@dataclass(frozen=True)
class Target:
    """`feed` raises where something does not hold; `change` makes another input of one."""

    feed: Feed
    change: Change


def as_tree(data: bytes, chance: random.Random) -> bytes:
    """One JSON text."""
    text = data.decode("utf-8", "surrogatepass") if _is_text(data) else data.decode(LATIN)
    return mutated(text, chance).encode("utf-8", "surrogatepass")


def as_record(data: bytes, chance: random.Random) -> bytes:
    """A record's file; mostly with its links made anew, or nothing behind them is reached."""
    changed = as_tree(data, chance)
    return decoders.with_links(changed) if chance.random() < 0.9 else changed


def as_lines(data: bytes, chance: random.Random) -> bytes:
    """JSON texts, one on each line: one changed, left out, doubled, or put elsewhere."""
    lines = data.split(b"\n")
    at = chance.randrange(len(lines))
    act = chance.random()
    if act < 0.8:
        lines[at] = as_tree(lines[at], chance)
    elif act < 0.9:
        lines.insert(chance.randrange(len(lines) + 1), lines[at])
    else:
        chance.shuffle(lines)
    return b"\n".join(lines[:10])


def as_words(data: bytes, chance: random.Random) -> bytes:
    """`name`, then `option=text` on each line: a number, a unit or a whole line changed."""
    lines = data.decode("utf-8", "replace").split("\n")
    at = chance.randrange(len(lines))
    name, is_pair, text = lines[at].partition("=")
    if chance.random() < 0.3:
        lines[at] = by_character(lines[at], chance)
    elif is_pair:
        lines[at] = f"{name}={_another(text, chance)}"
    return "\n".join(lines).encode("utf-8", "surrogatepass")


NUMBERS = ("0", "-1", "1e-300", "1e9", "1e308", "1e400", "999999", "0.0001", "42", "100", "−3")
UNITS = ("kg", "mg", "%", "degC", "degF", "K", "m", "mm", "s", "min", "Pa", "W/m/K", "", "m**9999")


def _another(text: str, chance: random.Random) -> str:
    number, unit = _parted(text)
    return chance.choice(
        (chance.choice(NUMBERS) + unit, number + chance.choice(UNITS), by_character(text, chance))
    )


def _parted(text: str) -> tuple[str, str]:
    end = next((n for n, sign in enumerate(text) if sign.isalpha() or sign in "%°"), len(text))
    return text[:end], text[end:]


def as_bytes(data: bytes, chance: random.Random) -> bytes:
    """One to eight bytes changed, or a stretch left out, doubled or cut off at the end."""
    some = bytearray(data or b"\0")
    for _ in range(chance.randint(1, 8)):
        some[chance.randrange(len(some))] = chance.choice(
            (0, 1, 0x7F, 0x80, 0xFF, chance.randrange(256))
        )
    start, end = sorted(chance.randrange(len(some) + 1) for _ in range(2))
    act = chance.random()
    if act < 0.1:
        del some[start : min(end, start + 40)]
    elif act < 0.2:
        some[start:start] = some[start : min(end, start + 40)]
    elif act < 0.25:
        del some[start:]
    return bytes(some)


def as_picture(data: bytes, chance: random.Random) -> bytes:
    """Bytes changed; mostly with a PNG's checksums put right, or nothing behind them is reached."""
    some = as_bytes(data, chance)
    return with_checksums(some) if some.startswith(PNG) and chance.random() < 0.9 else some


def with_checksums(data: bytes) -> bytes:
    """A PNG's chunks with the CRC that their bytes have (W3C PNG, 5.3)."""
    found, at = bytearray(data[:8]), 8
    while at + 12 <= len(data):
        size = min(int.from_bytes(data[at : at + 4], "big"), len(data) - at - 12)
        typed = data[at + 4 : at + 8 + size]
        found += size.to_bytes(4, "big") + typed + zlib.crc32(typed).to_bytes(4, "big")
        at += 12 + size
    return bytes(found + data[at:])


def _is_text(data: bytes) -> bool:
    return decoders.text_of(data) is not None


TARGETS: dict[str, Target] = {
    "events": Target(decoders.events, as_lines),
    "sheet": Target(decoders.sheet, as_tree),
    "record": Target(decoders.record_file, as_record),
    "image": Target(decoders.image, as_picture),
    "reckon": Target(decoders.reckoned, as_words),
    "manifest": Target(decoders.manifest, as_tree),
    "store-file": Target(decoders.store_file, as_bytes),
}
