"""The build as a problem for CP-SAT (OR-tools): who cuts and lays what, when, and where it waits.

One worker, a fixed seed and a limit in the solver's own deterministic time, so that the same
question has the same answer on every machine. Whole seconds.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from ortools.sat.python import cp_model

from shop.picture.holding import Place
from shop.picture.problem import Problem, Spell, soonest
from shop.picture.work import Work

SEED = 17
OPTIMAL, FEASIBLE = cp_model.OPTIMAL, cp_model.FEASIBLE


@dataclass(frozen=True, slots=True)
class Solved:
    """Spells by work, when the log is closed [s], and what the solver has proved.

    soonest_s: the soonest end that was found; bound_s: no build can be closed sooner; is_proven:
    there is none between the two. Where parts can't all be joined in time, `over_s` adds up what
    is missed and is what was made least.
    """

    spells: dict[str, Spell]
    closed_s: int
    bound_s: int
    over_s: int
    is_proven: bool
    soonest_s: int


class _Model:
    """Variables and rules of one problem; `soft` lets parts miss their time at a price."""

    def __init__(self, problem: Problem, *, soft: bool) -> None:
        self.problem, self.soft = problem, soft
        self.model = cp_model.CpModel()
        self.end = self._horizon()
        self.lays = {work.id: work.lay_s for work in problem.works}
        self.joins = {work.id: sorted({work.id, *work.touches}) for work in problem.works}
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
        for below in sorted(work.rests_on):
            self.model.add(laid >= self._laid(below))
        for other in self.joins[work.id]:
            self.model.add(self.last[work.id] >= self._laid(other))

    def _laid(self, id: str) -> cp_model.LinearExpr:
        """When a work is laid for good."""
        return self.lay[id] + self.lays[id]

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
        """Begin from a build that is already known, whole."""
        for id, spell in found.items():
            self.model.add_hint(self.cut[id], spell.cut_s)
            self.model.add_hint(self.lay[id], spell.lay_s)
            joined = (found[other].lay_s + self.lays[other] for other in self.joins[id])
            self.model.add_hint(self.last[id], max(joined))
            self.model.add_hint(self.over[id], spell.over_s)
        for (id, place), chosen in self.at.items():
            self.model.add_hint(chosen, found[id].place == place)


def solve(problem: Problem, effort: float = 2.0) -> Solved:
    """The soonest closed log in which every part still joins; see `Solved`.

    Where no build joins everything, the one that misses least. `effort`: the solver's
    deterministic seconds for each of its searches, about a second of this machine each.
    """
    strict = _Model(problem, soft=False)
    strict.model.minimize(strict.done)
    status, solver = _search(strict, effort)
    if status in (OPTIMAL, FEASIBLE):
        bound = math.ceil(solver.best_objective_bound - 1e-6) + problem.closes_s
        return _read(strict, solver, bound, is_proven=status == OPTIMAL)
    soft = _Model(problem, soft=True)
    soft.model.minimize(cp_model.LinearExpr.sum(list(soft.over.values())) * soft.end + soft.done)
    status, solver = _search(soft, effort)
    return _read(soft, solver, problem.closes_s, is_proven=status == OPTIMAL)


def calmer(problem: Problem, found: Solved, by_s: int, effort: float = 2.0) -> Solved:
    """A build for people: whoever cuts a part lays it at once, if that costs little.

    Little is the time of one part, and closed `by_s` [s]. Where no such build is found, the same
    end with less waiting, squares and thick parts first, as far as the effort goes. Neither is
    proved to be the calmest; `soonest_s` and `bound_s` stay those of `found`.
    """
    if found.over_s:
        return found
    most = found.closed_s + max(work.cut_s + work.lay_s for work in problem.works)
    for model, target in _calm_models(problem, found, min(most, by_s)):
        model.model.minimize(target)
        status, solver = _search(model, effort / 4)
        if status in (OPTIMAL, FEASIBLE):
            calm = _read(model, solver, found.bound_s, is_proven=found.is_proven)
            return replace(calm, soonest_s=found.closed_s)
    return found


def _calm_models(
    problem: Problem, found: Solved, by_s: int
) -> Iterator[tuple[_Model, cp_model.LinearExprT]]:
    """First without a wait, then with as little as may be at the soonest end."""
    at_once = _Model(problem, soft=False)
    at_once.model.add(at_once.done <= by_s - problem.closes_s)
    for work in problem.works:
        if work.cut_s:
            at_once.model.add(at_once.lay[work.id] == at_once.cut[work.id] + work.cut_s)
    yield at_once, at_once.done
    soonest_end = _Model(problem, soft=False)
    soonest_end.model.add(soonest_end.done <= found.closed_s - problem.closes_s)
    soonest_end.hint(found.spells)
    yield soonest_end, soonest_end.waiting()


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
    return Solved(spells, closed, bound_s, over, is_proven, closed)
