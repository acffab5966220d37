"""The schedule against rules that are proved to give the best order of equal parts."""

import random

import pytest

from shop.picture.problem import Problem
from shop.picture.solving import solve
from shop.picture.work import Work


def unit_jobs(below: dict[int, set[int]], hands: int) -> Problem:
    """Parts that take a second to lay and none to cut, and stick for ever."""
    works = tuple(
        Work(f"p{n}", "", "white", "bar", 0, 1, 6000, 6000, 1, frozenset(f"p{i}" for i in under))
        for n, under in below.items()
    )
    ever = {work.id: 1000 for work in works}
    return Problem(works, (0,) * hands, {"board": ever}, ever, 0, 0, 0)


def list_schedule(below: dict[int, set[int]], first: dict[int, int], hands: int) -> int:
    """Seconds when every free hand takes the ready job of the highest number in `first`."""
    done: set[int] = set()
    seconds = 0
    while len(done) < len(below):
        ready = [n for n in below if n not in done and below[n] <= done]
        done |= set(sorted(ready, key=lambda n: -first[n])[:hands])
        seconds += 1
    return seconds


def levels(below: dict[int, set[int]]) -> dict[int, int]:
    """How many jobs follow each on the longest way up, itself counted."""
    found: dict[int, int] = {}
    for n in sorted(below, reverse=True):
        found[n] = 1 + max((found[m] for m in below if n in below[m]), default=0)
    return found


@pytest.mark.parametrize("seed", range(12))
def test_a_tree_of_equal_parts_is_built_as_by_hu(seed: int) -> None:
    # Hu, Parallel sequencing and assembly line problems, Operations Research 9 (1961) 841: for
    # unit jobs whose order is an in-tree, the longest way to the root first is best.
    draw = random.Random(seed)
    count = draw.randint(8, 16)
    above = {n: draw.randint(n + 1, count - 1) for n in range(count - 1)}
    below = {n: {m for m in above if above[m] == n} for n in range(count)}
    found = solve(unit_jobs(below, 3))
    assert found.is_proven
    assert found.closed_s == list_schedule(below, levels(below), 3)


def coffman_graham(below: dict[int, set[int]]) -> dict[int, int]:
    """Labels 1, 2 … from the top down, by the labels of those directly above."""
    all_below = {n: set(under) for n, under in below.items()}
    for n in sorted(below):
        all_below[n] |= set().union(*(all_below[m] for m in below[n]))
    direct = {
        n: {m for m in under if not any(m in all_below[k] for k in under)}
        for n, under in all_below.items()
    }
    above = {n: {m for m in direct if n in direct[m]} for n in direct}
    label: dict[int, int] = {}
    for number in range(1, len(below) + 1):
        ready = [n for n in below if n not in label and above[n] <= set(label)]
        n = min(ready, key=lambda n: sorted((label[m] for m in above[n]), reverse=True))
        label[n] = number
    return label


@pytest.mark.parametrize("seed", range(12))
def test_two_hands_build_equal_parts_as_by_coffman_and_graham(seed: int) -> None:
    # Coffman and Graham, Optimal scheduling for two-processor systems, Acta Informatica 1 (1972)
    # 200: labels from the top down give the best order of unit jobs for two.
    draw = random.Random(seed)
    below = {n: {m for m in range(n) if draw.random() < 0.2} for n in range(draw.randint(8, 16))}
    found = solve(unit_jobs(below, 2))
    assert found.is_proven
    assert found.closed_s == list_schedule(below, coffman_graham(below), 2)
