"""A link as a square that a phone's camera reads off the screen (ISO/IEC 18004)."""

from __future__ import annotations

import io

import segno


def terminal_qr(link: str) -> str:
    """Half-height blocks, light on dark as a terminal is, with the quiet zone of four modules."""
    out = io.StringIO()
    segno.make(link, error="m", micro=False).terminal(out, compact=True, border=4)
    return out.getvalue()


def svg_qr(link: str) -> str:
    """The square as a drawing for a page, which is trusted markup; four pixels a module."""
    code = segno.make(link, error="m", micro=False)
    return code.svg_inline(
        scale=4, border=4, dark="#1c1917", light="#fff", svgclass="square", title=link
    )
