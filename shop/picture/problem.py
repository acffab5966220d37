"""A build as whole seconds: what is asked, and when each work is done."""

from collections.abc import Mapping
from dataclasses import dataclass

from shop.picture.holding import Place
from shop.picture.work import Work


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
