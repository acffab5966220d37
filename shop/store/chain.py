"""The hashes that hold the log together."""

from hashlib import sha256


def sha256hex(content: bytes) -> str:
    return sha256(content).hexdigest()


def as_bytes(line: str) -> bytes:
    """The line as kept aside: lone surrogates survive, which UTF-8 proper forbids."""
    return line.encode("utf-8", "surrogatepass")


def as_browser_bytes(line: str) -> bytes:
    """The line as a browser's TextEncoder gives it: a lone surrogate becomes U+FFFD.

    Source: WHATWG Encoding, TextEncoder takes a USVString.
    """
    try:
        return line.encode()
    except UnicodeEncodeError:
        return line.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace").encode()


def device_head(before: str, line: bytes) -> str:
    """Running head hash of a device: h₀ = "", hₙ = sha256hex(hₙ₋₁ + line)."""
    return sha256hex(before.encode() + line)


def shop_link(before: str, position: int, received: int, carrier: str, line: str) -> str:
    """Link of the shop's own chain; holds what the server adds to a line as well as the line."""
    return sha256hex(f"{before}\n{position}\n{received}\n{carrier}\n{line}".encode())
