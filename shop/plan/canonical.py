"""Canonical JSON (RFC 8785) for whole numbers, texts, lists and objects: one value, one text."""

import json
from typing import Any

FAR = 2**53


def canonical(value: Any) -> str:
    """The one text of a value: keys sorted by UTF-16 code unit, no spaces, no floats.

    Raises TypeError for a float, a key that is not text, or a number past ±2⁵³.

    >>> canonical({"b": [1, None], "a": "é"})
    '{"a":"é","b":[1,null]}'
    """
    match value:
        case None | bool() | str():
            return json.dumps(value, ensure_ascii=False)
        case int() if -FAR < value < FAR:
            return str(value)
        case list() | tuple():
            return f"[{','.join(canonical(item) for item in value)}]"
        case dict():
            pairs = sorted(value.items(), key=lambda pair: pair[0].encode("utf-16-be"))
            return f"{{{','.join(f'{canonical(k)}:{canonical(v)}' for k, v in pairs)}}}"
    raise TypeError(f"{value!r} can't stand in canonical JSON: whole numbers and text only")
