"""Small builds tried out to the last possibility, second by second: nothing clever, no solver."""

from collections.abc import Iterator
from itertools import combinations, product

from shop.picture.holding import Place
from shop.picture.problem import Problem
from shop.picture.work import Work

# What has happened to one part: its phase, seconds left in hand, waited, place, exposed.
State = tuple[str, int, int, Place | None, int]
UNCUT: State = ("uncut", 0, 0, None, 0)
DONE: State = ("done", 0, 0, None, 0)


def soonest_by_trying(problem: Problem) -> int | None:
    """Seconds to the closed log of the best build; None where no build joins everything.

    A second in which nobody does anything can be cut out of a build and nothing is later for it:
    so all are tried that are done when the work of one hand would be.
    """
    horizon = max(problem.free_from) + sum(w.cut_s + w.lay_s for w in problem.works)
    states = {(UNCUT,) * len(problem.works)}
    for second in range(horizon + 1):
        if any(all(part[0] in ("laid", "done") for part in state) for state in states):
            return second + problem.closes_s
        free = sum(begin <= second for begin in problem.free_from)
        if second < problem.begins_s:
            continue
        all_here = second >= max(problem.free_from)
        states = {
            after for state in states for after in _next(problem, state, free, idle=not all_here)
        }
    return None


def _next(
    problem: Problem, state: tuple[State, ...], free: int, *, idle: bool
) -> Iterator[tuple[State, ...]]:
    """Every state one second later; `idle`: a second in which nobody works is allowed."""
    busy = sum(part[0] in ("cutting", "laying") for part in state)
    able = [n for n in range(len(state)) if _can_start(problem, state, n)]
    for count in range(0 if busy or idle else 1, min(free - busy, len(able)) + 1):
        for starting in combinations(able, count):
            begun = tuple(
                _begun(work, part) if n in starting else part
                for n, (work, part) in enumerate(zip(problem.works, state, strict=True))
            )
            heated = sum(part[0] == "waiting" and part[3] == "heater" for part in begun)
            if heated <= problem.heater_places:
                yield from _a_second_later(problem, begun)


def _can_start(problem: Problem, state: tuple[State, ...], n: int) -> bool:
    if state[n][0] == "uncut":
        return True
    laid = {
        w.id for w, part in zip(problem.works, state, strict=True) if part[0] in ("laid", "done")
    }
    return state[n][0] == "waiting" and problem.works[n].rests_on <= laid


def _begun(work: Work, part: State) -> State:
    if part[0] == "uncut":
        return ("cutting", work.cut_s, 0, None, 0)
    return ("laying", work.lay_s, part[2], part[3], 0)


def _a_second_later(problem: Problem, state: tuple[State, ...]) -> Iterator[tuple[State, ...]]:
    """Parts that come off the knife may go to any place."""
    moved = [_moved(problem, part) for part in state]
    for choice in product(*moved):
        laid = {
            w.id
            for w, part in zip(problem.works, choice, strict=True)
            if part[0] in ("laid", "done")
        }
        settled = [
            _settled(problem, work, part, laid)
            for work, part in zip(problem.works, choice, strict=True)
        ]
        if None not in settled:
            yield tuple(part for part in settled if part)


def _moved(problem: Problem, part: State) -> list[State]:
    phase, left, waited, place, exposed = part
    if phase == "cutting":
        if left > 1:
            return [("cutting", left - 1, 0, None, 0)]
        return [("waiting", 0, 0, where, 0) for where in problem.opens]
    if phase == "waiting":
        return [("waiting", 0, waited + 1, place, 0)]
    if phase == "laying":
        after = "laying" if left > 1 else "laid"
        return [(after, left - 1, waited, place, exposed + 1)]
    return [("laid", 0, waited, place, exposed + 1) if phase == "laid" else part]


def _settled(problem: Problem, work: Work, part: State, laid: set[str]) -> State | None:
    """Done when all its neighbours are on; None when it has stopped sticking before."""
    phase, _, waited, place, exposed = part
    if place is None or phase == "done":
        return part
    opens, sticks = problem.opens[place][work.id], problem.sticks[work.id]
    if waited * sticks + exposed * opens > opens * sticks:
        return None
    return DONE if phase == "laid" and work.touches <= laid else part
