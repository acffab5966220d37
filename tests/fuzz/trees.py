"""A JSON text changed a little, the way a broken or a spiteful program would change it.

Works on what was written rather than on what it means: keys may come twice, numbers may be no
whole ones, and a text may hold half of a surrogate pair.
"""

import json
import random
from collections.abc import Callable
from copy import deepcopy
from typing import Any

FAR = (2**31, 2**51 - 1, 2**51, 2**53 - 1, 2**53, 2**53 + 1, 2**63, 10**30)
NAMES = ("__proto__", "constructor", "toString", "hasOwnProperty", "length", "then")
TEXTS = ("", " ", "\0", "\ud800", "\udfff", "é", "𝔄", "\u2028", "a#1", "#", "x#y#z", ":", "x:1")
LONG = ("x" * 201, "x" * 8200, "é" * 4100)
MOST_OPERATIONS = 4
DEPTHS = (30, 34, 300, 900, 1200)


class Written(str):
    """A piece of JSON just as it is to be written."""


class Pairs(list[Any]):
    """An object as pairs, so that a key may come twice."""


ODD: tuple[Any, ...] = (
    *(None, True, False, 0, 1, -1, 2, 7, [], {}, [[]], [None], ""),
    *(sign * far for far in FAR for sign in (1, -1)),
    *(*NAMES, *TEXTS, *LONG),
    *(Written(text) for text in ("1.5", "-0", "1e400", "NaN", "-Infinity", "9" * 5000)),
    *(Written("[" * deep + "]" * deep) for deep in DEPTHS),
    *(Written('{"a":' * deep + "1" + "}" * deep) for deep in DEPTHS),
)


def mutated(text: str, chance: random.Random) -> str:
    """The text with one to four changes; one that is no JSON is changed by the character."""
    try:
        tree = json.loads(text, object_pairs_hook=Pairs)
        return by_character(text, chance) if chance.random() < 0.05 else _changed(tree, chance)
    except (ValueError, RecursionError):
        return by_character(text, chance)


def _changed(tree: Any, chance: random.Random) -> str:
    holder = [tree]
    for _ in range(chance.randint(1, MOST_OPERATIONS)):
        where = _places(holder)
        if not where:
            break
        inside, at = chance.choice(where)
        chance.choice(CHANGES)(inside, at, where, chance)
    return written(holder[0]) if holder else ""


def by_character(text: str, chance: random.Random) -> str:
    """A stretch left out, doubled or put elsewhere, or one character changed."""
    start, end = sorted(chance.randrange(len(text) + 1) for _ in range(2))
    end = min(end, start + chance.choice((1, 2, 8, 64)))
    some = chance.choice(("", text[start:end] * 2, chance.choice('"\\{}[],:0-e.\0 \n'), "\ud83c"))
    return text[:start] + some + text[end:]


def written(tree: Any) -> str:
    """The tree as JSON, keys in the order they have."""
    if isinstance(tree, Written):
        return str(tree)
    if isinstance(tree, Pairs):
        return f"{{{','.join(f'{json.dumps(key)}:{written(value)}' for key, value in tree)}}}"
    if isinstance(tree, list):
        return f"[{','.join(written(item) for item in tree)}]"
    return json.dumps(tree, ensure_ascii=False)


def _places(tree: Any) -> list[tuple[Any, int]]:
    """Every place a value stands at: what holds it, and where in there."""
    found, left = [], [tree]
    while left:
        inside = left.pop()
        for at, item in enumerate(inside):
            found.append((inside, at))
            value = item[1] if isinstance(inside, Pairs) else item
            if isinstance(value, list):
                left.append(value)
    return found


Places = list[tuple[Any, int]]
Change = Callable[[Any, int, Places, random.Random], None]


def _value(inside: Any, at: int) -> Any:
    return inside[at][1] if isinstance(inside, Pairs) else inside[at]


def _put(inside: Any, at: int, value: Any) -> None:
    inside[at] = (inside[at][0], value) if isinstance(inside, Pairs) else value


def _odd(inside: Any, at: int, where: Places, chance: random.Random) -> None:
    _put(inside, at, deepcopy(chance.choice(ODD)))


def _nudge(inside: Any, at: int, where: Places, chance: random.Random) -> None:
    """A little more or less of the same."""
    value = _value(inside, at)
    if isinstance(value, int) and not isinstance(value, bool):
        _put(inside, at, chance.choice((value + 1, value - 1, -value, value * 2, value * 1000)))
    elif isinstance(value, str) and not isinstance(value, Written):
        _put(inside, at, chance.choice((value + chance.choice(TEXTS), value[:-1], value * 2)))
    elif isinstance(value, list) and value:
        value.append(deepcopy(chance.choice(value)))


def _from_elsewhere(inside: Any, at: int, where: Places, chance: random.Random) -> None:
    """Another value of the same text, where it does not hold this one."""
    value = _value(*chance.choice(where))
    if not isinstance(value, list):
        _put(inside, at, value)


def _leave_out(inside: Any, at: int, where: Places, chance: random.Random) -> None:
    del inside[at]


def _twice(inside: Any, at: int, where: Places, chance: random.Random) -> None:
    inside.insert(chance.randrange(len(inside) + 1), deepcopy(inside[at]))


def _rename(inside: Any, at: int, where: Places, chance: random.Random) -> None:
    if isinstance(inside, Pairs):
        names = [pairs[n][0] for pairs, n in where if isinstance(pairs, Pairs)]
        inside[at] = (chance.choice([*NAMES, *TEXTS, *names]), inside[at][1])


def _wrap(inside: Any, at: int, where: Places, chance: random.Random) -> None:
    value = _value(inside, at)
    _put(inside, at, chance.choice(([value], Pairs([("a", value)]))))


CHANGES: tuple[Change, ...] = (
    *(_odd, _odd, _nudge, _nudge, _nudge, _from_elsewhere, _from_elsewhere),
    *(_leave_out, _twice, _rename, _wrap),
)
