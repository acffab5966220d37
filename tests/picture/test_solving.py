"""The schedule against small builds tried out to the last possibility, and its laws."""

import os
import random
import subprocess
import sys
from dataclasses import replace

import pytest

from shop.picture.problem import Problem
from shop.picture.solving import Solved, calmer, solve
from shop.picture.work import Work
from tests.picture.trying import soonest_by_trying


def small(seed: int, parts: int) -> Problem:
    """A random small build: parts of one to three seconds on what was cut before them."""
    draw = random.Random(seed)
    bare = [
        Work(
            f"p{n}",
            f"Part {n}",
            "white",
            draw.choice(["bar", "wedge", "round"]),
            draw.choice([1, 1, 2]),
            draw.choice([1, 2]),
            6000,
            6000,
            1,
            frozenset(f"p{i}" for i in range(n) if draw.random() < 0.35),
        )
        for n in range(parts)
    ]
    works = tuple(
        replace(w, touches=w.rests_on | {o.id for o in bare if w.id in o.rests_on}) for w in bare
    )
    ids = [work.id for work in works]
    return Problem(
        works=works,
        free_from=tuple(draw.choice([0, 0, 3]) for _ in range(draw.choice([1, 2, 2, 3]))),
        opens={
            "board": {id: draw.choice([2, 3, 5]) for id in ids},
            "heater": dict.fromkeys(ids, 6),
        },
        sticks={id: draw.choice([3, 4, 6, 9]) for id in ids},
        begins_s=0,
        closes_s=1,
        heater_places=draw.choice([0, 1, 2]),
    )


def check(problem: Problem, found: Solved) -> None:
    """A build that can be done: hands, order, sticking and heater, added up second by second."""
    works = {work.id: work for work in problem.works}
    laid = {id: spell.lay_s + works[id].lay_s for id, spell in found.spells.items()}
    assert max(laid.values()) + problem.closes_s == found.closed_s
    for id, spell in found.spells.items():
        work = works[id]
        wait = spell.lay_s - spell.cut_s - work.cut_s
        assert wait >= 0
        assert all(laid[below] <= spell.lay_s for below in work.rests_on)
        assert spell.place is not None
        opens, sticks = problem.opens[spell.place][id], problem.sticks[id]
        exposed = max(laid[other] for other in {id, *work.touches}) - spell.lay_s - spell.over_s
        assert wait * sticks + exposed * opens <= opens * sticks
    for second in range(found.closed_s):
        busy = sum(
            start <= second < start + span
            for id, spell in found.spells.items()
            for start, span in (
                (spell.cut_s, works[id].cut_s),
                (spell.lay_s, works[id].lay_s),
            )
        )
        assert busy <= sum(free <= second for free in problem.free_from)
        heated = [s for s in found.spells.values() if s.place == "heater"]
        under = sum(
            s.cut_s + works[id].cut_s <= second < s.lay_s
            for id, s in found.spells.items()
            if s in heated
        )
        assert under <= problem.heater_places


SMALL = [*((seed, 3) for seed in range(16)), *((seed, 4) for seed in range(6)), (1, 5), (3, 5)]
# Tried out to the last they take up to a minute each.
LARGER = [(0, 5), (2, 5), (4, 5), (4, 6), (6, 6), (5, 6)]


@pytest.mark.parametrize(
    ("seed", "parts"), [*SMALL, *(pytest.param(*at, marks=pytest.mark.long) for at in LARGER)]
)
def test_no_small_build_is_sooner(seed: int, parts: int) -> None:
    problem = small(seed, parts)
    found = solve(problem)
    assert found.is_proven
    check(problem, found)
    assert (None if found.over_s else found.closed_s) == soonest_by_trying(problem)


def test_the_small_builds_are_of_every_sort() -> None:
    problems = [small(seed, parts) for seed, parts in SMALL]
    answers = [solve(problem) for problem in problems]
    assert {answer.over_s > 0 for answer in answers} == {True, False}
    assert len({problem.heater_places for problem in problems}) == 3
    assert len({len(problem.free_from) for problem in problems}) == 3
    places = [spell.place for answer in answers for spell in answer.spells.values()]
    assert {"board", "heater"} == set(places)


def missed_then_closed(problem: Problem) -> tuple[int, int]:
    found = solve(problem)
    assert found.is_proven
    return found.over_s, found.closed_s


@pytest.mark.parametrize("seed", range(10))
def test_help_never_makes_a_build_later(seed: int) -> None:
    problem = small(seed, 6)
    before = missed_then_closed(problem)
    longer = {
        place: {id: seconds + 2 for id, seconds in opens.items()}
        for place, opens in problem.opens.items()
    }
    sticks = {id: seconds + 2 for id, seconds in problem.sticks.items()}
    for helped in (
        replace(problem, free_from=(*problem.free_from, 0)),
        replace(problem, free_from=(0,) * len(problem.free_from)),
        replace(problem, heater_places=problem.heater_places + 1),
        replace(problem, opens=longer, sticks=sticks),
    ):
        assert missed_then_closed(helped) <= before


def test_the_same_question_has_the_same_answer() -> None:
    problem = small(3, 6)
    assert solve(problem) == solve(problem)


def waiting(problem: Problem, found: Solved) -> int:
    return sum(
        found.spells[work.id].lay_s - found.spells[work.id].cut_s - work.cut_s
        for work in problem.works
    )


@pytest.mark.parametrize("seed", [*range(8), 12, 19, 21, 23])
def test_a_calm_build_waits_less_and_costs_at_most_a_part(seed: int) -> None:
    problem = small(seed, 6)
    found = solve(problem)
    if found.over_s:
        assert calmer(problem, found, 1000) == found
        return
    calm = calmer(problem, found, 1000)
    check(problem, calm)
    part = max(work.cut_s + work.lay_s for work in problem.works)
    assert found.closed_s <= calm.closed_s <= found.closed_s + part
    assert waiting(problem, calm) <= waiting(problem, found)
    assert calm.soonest_s == found.closed_s
    hurried = calmer(problem, found, found.closed_s)
    check(problem, hurried)
    assert hurried.closed_s == found.closed_s


def test_the_same_question_has_the_same_answer_in_every_process() -> None:
    # Python orders sets of texts differently in every process.
    asked = (
        "from shop.picture.schedule import *; from tests.picture.test_schedule import *; "
        "p = asked_of(beehive(), SECTION, crew(2), NUMBERS).problem(); f = solve(p, 0.3); "
        "print(f.spells, calmer(p, f, 1800, 0.3).spells)"
    )
    answers = {
        subprocess.run(
            [sys.executable, "-c", "from shop.picture.solving import *; " + asked],
            env={**os.environ, "PYTHONHASHSEED": str(seed)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in (1, 2, 3)
    }
    assert len(answers) == 1
