"""Five to seven blocks to tick on the floor, in place of every part."""

from collections.abc import Sequence
from typing import Any

FEWEST, MOST, USUAL = 5, 7, 4
# Parting two works of one sugar costs as much as a block that is three parts off its even share.
SAME_SUGAR = 9.0


def blocks_of(order: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """Works in the order they are laid, parted into blocks `{"name", "parts", "end_s"}`.

    Five to seven, about four parts each, parted where the sugar changes if that is near; as many
    as there are works where there are fewer than five.

    >>> rows = [{"part": str(n), "portion": "ab"[n // 5], "end_s": n} for n in range(10)]
    >>> [len(block["parts"]) for block in blocks_of(rows)]
    [1, 2, 2, 2, 3]
    """
    count = min(len(order), max(FEWEST, min(MOST, round(len(order) / USUAL))))
    ends = _ends([work["portion"] for work in order], count)
    starts = [0, *ends[:-1]]
    return [_block(order[a:b]) for a, b in zip(starts, ends, strict=True)]


def _ends(sugars: Sequence[str], count: int) -> list[int]:
    """Where each block ends, for the least cost of uneven blocks and parted sugars."""
    even, whole = len(sugars) / count, len(sugars)
    best: dict[tuple[int, int], tuple[float, list[int]]] = {(0, 0): (0.0, [])}
    for block in range(1, count + 1):
        for end in range(block, whole + 1):
            parted = SAME_SUGAR if end < whole and sugars[end - 1] == sugars[end] else 0.0
            best[block, end] = min(
                (cost + (end - start - even) ** 2 + parted, [*ends, end])
                for start in range(block - 1, end)
                if (block - 1, start) in best
                for cost, ends in [best[block - 1, start]]
            )
    return best[count, whole][1]


def _block(works: Sequence[dict[str, Any]]) -> dict[str, Any]:
    sugars = list(dict.fromkeys(work["portion"] for work in works))
    return {
        "name": " and ".join(sugars),
        "parts": [work["part"] for work in works],
        "end_s": max(work["end_s"] for work in works),
    }
