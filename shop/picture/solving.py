"""The build as a problem for CP-SAT (OR-tools): who cuts and lays what, when, and where it waits.

One worker, a fixed seed and a limit in the solver's own deterministic time, so that the same
question has the same answer on every machine. Whole seconds.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from ortools.sat.python import cp_model

from shop.picture.holding import Place
from shop.picture.work import Work

SEED = 17
OPTIMAL, FEASIBLE = cp_model.OPTIMAL, cp_model.FEASIBLE


@dataclass(frozen=True, slots=True)
class Problem:
    """What is to be built by whom, with how long each work sticks where it may wait [s].

    free_from: for each hand, the second from which it can build. opens: place → work → how long it
    sticks there once cut; sticks: work → how long once it is laid. begins_s: when the white is
    pulled; closes_s: how long band and casing take. heater_places: how many parts fit under it.
    """

    works: tuple[Work, ...]
    free_from: tuple[int, ...]
    opens: Mapping[Place, Mapping[str, int]]
    sticks: Mapping[str, int]
    begins_s: int
    closes_s: int
    heater_places: int


@dataclass(frozen=True, slots=True)
class Spell:
    """When one work is cut and laid [s], where it waits between, how far it misses sticking [s]."""

    cut_s: int
    lay_s: int
    place: Place | None
    over_s: int


@dataclass(frozen=True, slots=True)
class Solved:
    """Spells by work, when the log is closed [s], and what the solver has proved.

    bound_s: no build can be closed sooner; is_proven: and none is better than this one. Where
    parts can't all be joined in time, `over_s` adds up what is missed and is what was made least.
    """

    spells: dict[str, Spell]
    closed_s: int
    bound_s: int
    over_s: int
    is_proven: bool


class _Model:
    """Variables and rules of one problem; `soft` lets parts miss their time at a price."""

    def __init__(self, problem: Problem, *, soft: bool) -> None:
        self.problem, self.soft = problem, soft
        self.model = cp_model.CpModel()
        self.end = self._horizon()
        self.cut: dict[str, cp_model.IntVar] = {}
        self.lay: dict[str, cp_model.IntVar] = {}
        self.last: dict[str, cp_model.IntVar] = {}
        self.over: dict[str, cp_model.IntVar] = {}
        self.at: dict[tuple[str, Place], cp_model.IntVar] = {}
        self.done = self.model.new_int_var(0, self.end, "done")
        for work in problem.works:
            self._times(work)
        for work in problem.works:
            self._order(work)
            if work.kind != "drawing":
                self._sticking(work)
        self._hands()
        self._heater()

    def _horizon(self) -> int:
        work = sum(w.cut_s + w.lay_s for w in self.problem.works)
        return max(self.problem.begins_s, *self.problem.free_from) + work + 1

    def _times(self, work: Work) -> None:
        begins = self.problem.begins_s
        self.cut[work.id] = self.model.new_int_var(begins, self.end, f"cut {work.id}")
        self.lay[work.id] = self.model.new_int_var(begins, self.end, f"lay {work.id}")
        self.last[work.id] = self.model.new_int_var(begins, self.end, f"last {work.id}")
        most = self.end if self.soft else 0
        self.over[work.id] = self.model.new_int_var(0, most, f"over {work.id}")

    def _order(self, work: Work) -> None:
        """Laid after it is cut and after what carries it; a copy is fresh when it is drawn."""
        laid = self.lay[work.id]
        self.model.add(laid >= self.cut[work.id] + work.cut_s)
        self.model.add(laid + work.lay_s <= self.done)
        if work.kind == "drawing":
            self.model.add(laid == self.cut[work.id])
        if work.drawn_by:
            self.model.add(self.cut[work.id] == self._laid(work.drawn_by))
        for below in work.rests_on:
            self.model.add(laid >= self._laid(below))
        for other in {work.id, *work.touches}:
            self.model.add(self.last[work.id] >= self._laid(other))

    def _laid(self, id: str) -> cp_model.LinearExpr:
        """When a work is laid for good."""
        return self.lay[id] + next(w.lay_s for w in self.problem.works if w.id == id)

    def _sticking(self, work: Work) -> None:
        """wait/open + laid/sticks ≤ 1: softness is used up while it waits and after it is laid."""
        choices = []
        wait = self.lay[work.id] - self.cut[work.id] - work.cut_s
        exposed = self.last[work.id] - self.lay[work.id] - self.over[work.id]
        sticks = self.problem.sticks[work.id]
        for place, opens in self.problem.opens.items():
            chosen = self.model.new_bool_var(f"{work.id} at {place}")
            self.at[work.id, place] = chosen
            choices.append(chosen)
            used = wait * sticks + exposed * opens[work.id]
            self.model.add(used <= opens[work.id] * sticks).only_enforce_if(chosen)
        self.model.add_exactly_one(choices)

    def _hands(self) -> None:
        """One hand does one thing; a hand that comes later counts as busy till then."""
        hands, begins = self.problem.free_from, self.problem.begins_s
        busy = [
            self.model.new_fixed_size_interval_var(times[work.id], size, f"hand {work.id}")
            for work in self.problem.works
            for times, size in ((self.cut, work.cut_s), (self.lay, work.lay_s))
            if size
        ]
        busy += [
            self.model.new_fixed_size_interval_var(0, free, f"away {n}")
            for n, free in enumerate(hands)
            if free > begins
        ]
        self.model.add_cumulative(busy, [1] * len(busy), len(hands))
        self.model.add(self.done >= soonest(self.problem))

    def _heater(self) -> None:
        if "heater" not in self.problem.opens:
            return
        waits = []
        for work in self.problem.works:
            if (chosen := self.at.get((work.id, "heater"))) is not None:
                size = self.model.new_int_var(0, self.end, f"wait {work.id}")
                start = self.cut[work.id] + work.cut_s
                waits.append(
                    self.model.new_optional_interval_var(
                        start, size, self.lay[work.id], chosen, f"heater {work.id}"
                    )
                )
        self.model.add_cumulative(waits, [1] * len(waits), self.problem.heater_places)

    def waiting(self) -> cp_model.LinearExpr:
        """What a calm build has least of: parts that wait, and squares and thick parts laid late.

        A second of waiting weighs as much as a thick square part laid four seconds later.
        """
        thickest = max(work.thick_um for work in self.problem.works)
        terms = []
        for work in self.problem.works:
            early = 3 - work.rank + (work.thick_um * 2 >= thickest)
            terms.append((self.lay[work.id] - self.cut[work.id]) * 16 + self.lay[work.id] * early)
        return cp_model.LinearExpr.sum(terms)

    def hint(self, found: Mapping[str, Spell]) -> None:
        """Begin from a build that is already known."""
        for id, spell in found.items():
            self.model.add_hint(self.cut[id], spell.cut_s)
            self.model.add_hint(self.lay[id], spell.lay_s)


def soonest(problem: Problem) -> int:
    """No build is done before [s], whatever lies on what: hands can't share one cut or one laying.

    A hand's work is a sum of whole spans; the soonest end is the first at which such sums, one a
    hand, can add up to all there is.
    """
    spans = [span for w in problem.works for span in (w.cut_s, w.lay_s) if span]
    sums, whole = 1, sum(spans)
    for span in spans:
        sums |= sums << span
    begins = [max(problem.begins_s, free) for free in problem.free_from]
    end = min(begins) + -(-whole // len(begins))
    while sum(_most(sums, end - begin) for begin in begins) < whole:
        end += 1
    return end


def _most(sums: int, room: int) -> int:
    """The largest sum within `room`; bit n of `sums` says that n can be made."""
    return (sums & ((2 << room) - 1)).bit_length() - 1 if room >= 0 else 0


def solve(problem: Problem, effort: float = 2.0, *, calm: bool = True) -> Solved:
    """The soonest closed log in which every part still joins; see `Solved`.

    Where no build joins everything, the one that misses least. `effort`: the solver's
    deterministic seconds for each of its searches, about a second of this machine each. `calm`
    then looks, without losing a second, for a build in which parts wait less, and squares and
    thick parts come first.
    """
    strict = _Model(problem, soft=False)
    strict.model.minimize(strict.done)
    status, solver = _search(strict, effort)
    if status in (OPTIMAL, FEASIBLE):
        bound = math.ceil(solver.best_objective_bound - 1e-6) + problem.closes_s
        found = _read(strict, solver, bound, is_proven=status == OPTIMAL)
        return _calmer(problem, found, effort) if calm else found
    soft = _Model(problem, soft=True)
    soft.model.minimize(cp_model.LinearExpr.sum(list(soft.over.values())) * soft.end + soft.done)
    status, solver = _search(soft, effort)
    return _read(soft, solver, problem.closes_s, is_proven=status == OPTIMAL)


def _calmer(problem: Problem, found: Solved, effort: float) -> Solved:
    """The same end with less waiting, as far as the effort goes; nothing is proved of that."""
    model = _Model(problem, soft=False)
    model.model.add(model.done <= found.closed_s - problem.closes_s)
    model.model.minimize(model.waiting())
    model.hint(found.spells)
    status, solver = _search(model, effort / 2)
    if status not in (OPTIMAL, FEASIBLE):
        return found
    calm = _read(model, solver, found.bound_s, is_proven=found.is_proven)
    return replace(calm, closed_s=found.closed_s)


def _search(model: _Model, effort: float) -> tuple[Any, cp_model.CpSolver]:
    """All of the solver's ways of searching take turns on one thread: one finds, another proves."""
    solver = cp_model.CpSolver()
    solver.parameters.interleave_search = True
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = SEED
    solver.parameters.max_deterministic_time = effort
    return solver.solve(model.model), solver


def _read(model: _Model, solver: cp_model.CpSolver, bound_s: int, *, is_proven: bool) -> Solved:
    places = {id: place for (id, place), is_it in model.at.items() if solver.value(is_it)}
    spells = {
        id: Spell(
            solver.value(cut),
            solver.value(model.lay[id]),
            places.get(id),
            solver.value(model.over[id]),
        )
        for id, cut in model.cut.items()
    }
    closed = solver.value(model.done) + model.problem.closes_s
    over = sum(spell.over_s for spell in spells.values())
    return Solved(spells, closed, bound_s, over, is_proven)
