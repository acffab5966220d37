"""Canonical JSON (RFC 8785) for whole numbers, texts, lists and objects: one value, one text."""

import json
from typing import Any

FAR = 2**53
# Nothing that travels is nested deeper, and no reader of it ever runs out of stack.
DEEPEST = 32


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


def is_deep(value: Any) -> bool:
    """Whether lists and objects stand in each other more than 32 deep.

    >>> is_deep([{"a": [1]}]), is_deep(json.loads("[" * 33 + "]" * 33))
    (False, True)
    """
    level = [value]
    for _ in range(DEEPEST):
        level = [inner for outer in level for inner in _inside(outer)]
        if not level:
            return False
    return any(isinstance(one, (list, dict)) for one in level)


def _inside(value: Any) -> list[Any]:
    if isinstance(value, dict):
        return list(value.values())
    return value if isinstance(value, list) else []
