"""A build that is asked about: the works, the hands, and where parts and log may lie."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from shop.craft.errors import check_range
from shop.picture.errors import HandsWrong
from shop.picture.holding import Place, sticking_seconds
from shop.picture.problem import Problem
from shop.picture.work import Job

BUILD = "the schedule of one log"
MOST_HANDS, MOST_WORKS = 4, 80


@dataclass(frozen=True, slots=True)
class Hand:
    """Somebody who builds, and how many seconds after the pull began they come free [s]."""

    name: str
    free_from_s: int = 0


@dataclass(frozen=True, slots=True)
class Asked:
    """One question to the solver.

    hands: 1–4. places: where a cut part may wait (never the iron, unless asked for); log_place:
    where the growing log lies. numbers: the shop's own. upside_down: the same job standing on its
    head, where that may be tried. thicker_um: parts by id that are made thicker than drawn [um].
    """

    job: Job
    hands: tuple[Hand, ...]
    numbers: Mapping[str, int]
    places: tuple[Place, ...] = ("board", "heater")
    log_place: Place = "board"
    upside_down: Job | None = None
    thicker_um: Mapping[str, int] = field(default_factory=dict)

    @property
    def limit_s(self) -> int:
        """From pulling to the log closed, at most [s]."""
        return self.numbers["build_limit"] // 1000

    def problem(self) -> Problem:
        """The same in seconds.

        Raises OutOfRange for too many hands, or parts none or too many; HandsWrong for two hands of
        one name.
        """
        check_range("hands", len(self.hands), "1", 1, MOST_HANDS, BUILD)
        check_range("parts", len(self.job.works), "1", 1, MOST_WORKS, BUILD)
        names = [hand.name for hand in self.hands]
        if twice := [name for name in names if names.count(name) > 1]:
            raise HandsWrong(twice[0])
        n = self.numbers
        places = tuple(p for p in self.places if p != "heater" or n["heater_places"])
        thick = [self.thicker_um.get(w.id, w.thick_um) for w in self.job.works]
        stacks = [
            max(t, t + w.stack_um - w.thick_um) for t, w in zip(thick, self.job.works, strict=True)
        ]
        return Problem(
            self.job.works,
            tuple(hand.free_from_s for hand in self.hands),
            {place: self._by_work(thick, place) for place in places},
            self._by_work(stacks, self.log_place),
            n["pull_time"] // 1000,
            n["close_time"] // 1000,
            n["heater_places"],
        )

    def _by_work(self, thick_um: list[int], place: Place) -> dict[str, int]:
        seconds = sticking_seconds(thick_um, place, self.numbers)
        return dict(zip((w.id for w in self.job.works), seconds, strict=True))
