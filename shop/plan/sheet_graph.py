"""Whether a reckoning graph's operands are what its ops take (docs/contracts.md, section 3)."""

from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

Problem = tuple[str, str]


def graph_problems(graph: list[dict[str, Any]]) -> Iterator[Problem]:
    """Where, and what must be there. Names are held against each other in `check_sheet`."""
    for quantity in graph:
        where, (op, *operands) = f"figure {quantity['name'][:40]}", quantity["op"] or [""]
        takes = TAKES.get(op) if isinstance(op, str) else None
        if takes is None:
            yield where, f"reckoned by one of {', '.join(TAKES)}"
        elif not takes(operands):
            yield where, f"given what `{op}` takes"


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _is_text(value: object) -> bool:
    return isinstance(value, str)


def _row(*wanted: Callable[[object], bool]) -> Callable[[list[Any]], bool]:
    def takes(operands: list[Any]) -> bool:
        return len(operands) == len(wanted) and all(
            fits(value) for fits, value in zip(wanted, operands, strict=True)
        )

    return takes


def _takes_terms(operands: list[Any]) -> bool:
    term = _row(_is_text, _is_whole)
    return all(isinstance(one, list) and term(one) for one in operands)


def _takes_names(operands: list[Any]) -> bool:
    return bool(operands) and all(map(_is_text, operands))


def _takes_share(operands: list[Any]) -> bool:
    """`den` is what is divided by."""
    return _row(_is_text, _is_text, _is_whole, _is_whole)(operands) and operands[3] > 0


def _is_column(value: object) -> bool:
    return isinstance(value, list) and len(value) > 1 and all(map(_is_whole, value))


def _takes_table(operands: list[Any]) -> bool:
    """As many of one as of the other, and each x more than the one before it."""
    if not _row(_is_text, _is_column, _is_column)(operands):
        return False
    _, xs, ys = operands
    return len(xs) == len(ys) and all(a < b for a, b in pairwise(xs))


TAKES: dict[str, Callable[[list[Any]], bool]] = {
    "given": _row(_is_whole),
    "read": _row(_is_text, _is_text),
    "moment": _row(_is_text),
    "tally": _row(_is_text),
    "sum": _takes_terms,
    "product": _takes_share,
    "quotient": _takes_share,
    "min": _takes_names,
    "max": _takes_names,
    "first": _takes_names,
    "table": _takes_table,
    "guard": _row(_is_text, _is_whole, _is_whole),
}
