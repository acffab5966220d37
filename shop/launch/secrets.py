"""Passwords that the program makes up."""

from __future__ import annotations

import secrets


def new_password() -> str:
    """64 bits as four groups of four hex digits: easy to read out, shown once."""
    return "-".join(secrets.token_hex(2) for _ in range(4))
