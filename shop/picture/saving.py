"""Which part breaks the build, and what would save it: every way out is solved again, not guessed.

A way out is the same question with one thing changed. Those that close the log in time with every
part joined come first.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from shop.picture.crew import MOST_HANDS, Asked, Hand
from shop.picture.problem import soonest
from shop.picture.solving import Solved, solve
from shop.picture.work import Job, Work
from shop.sentences import Sentence

EFFORT = 0.5
THICKNESSES_UM = (8_000, 10_000, 12_000, 15_000, 20_000, 25_000, 30_000)
MORE_HEATER = 2
MOST_FEWER = 8


@dataclass(frozen=True, slots=True)
class Break:
    """What stands in the way. `part`: its id, empty where it is the hands or a chain of parts."""

    part: str
    why: str
    over_s: int


@dataclass(frozen=True, slots=True)
class WayOut:
    """One change, as a sentence, and what the build then is.

    kind: `hand`, `earlier`, `upside down`, `heater`, `log under heater`, `thicker` or `fewer`.
    saves: whether all parts then join and the log is closed in time. is_proven: whether no build
    with this change is better.
    """

    kind: str
    says: str
    closed_s: int
    over_s: int
    saves: bool
    is_proven: bool


def breaking(asked: Asked, found: Solved) -> list[Break]:
    """The parts that stop sticking before they are joined, the worst first; or why it's too long.

    Empty where the build holds.
    """
    names = {work.id: work.name for work in asked.job.works}
    missed = [
        Break(
            id,
            Sentence(
                "{name} stops sticking {over_s} s before it is joined",
                name=names[id],
                over_s=spell.over_s,
            ),
            spell.over_s,
        )
        for id, spell in found.spells.items()
        if spell.over_s
    ]
    if missed:
        return sorted(missed, key=lambda b: (-b.over_s, b.part))
    late = found.closed_s - asked.limit_s
    return [_too_long(asked, found, late)] if late > 0 else []


def _too_long(asked: Asked, found: Solved, late_s: int) -> Break:
    """Whether hands or a chain of parts, each lying on the last, keep the log open so long."""
    problem = asked.problem()
    chain, chain_s = longest_chain(asked.job.works)
    if problem.begins_s + chain_s + problem.closes_s > asked.limit_s:
        first, last = chain[0].name, chain[-1].name
        why = Sentence(
            "{count} parts from {first} to {last} lie one on another",
            count=len(chain),
            first=first,
            last=last,
        )
        return Break(
            chain[-1].id,
            Sentence("{why}: {late_s} s too long for any number of hands", why=why, late_s=late_s),
            late_s,
        )
    count = len(asked.hands)
    hands = Sentence("one hand") if count == 1 else Sentence("{n} hands", n=count)
    return Break(
        "",
        Sentence(
            "{count} parts are {late_s} s too many for {hands}",
            count=len(asked.job.works),
            late_s=late_s,
            hands=hands,
        ),
        late_s,
    )


def longest_chain(works: tuple[Work, ...]) -> tuple[list[Work], int]:
    """The works that must follow one another and take longest so, and how long [s].

    The first must be cut before it is laid; the others are cut meanwhile.
    """
    by_id = {work.id: work for work in works}
    best: dict[str, tuple[int, list[Work]]] = {}

    def reach(id: str) -> tuple[int, list[Work]]:
        if id not in best:
            work = by_id[id]
            below = sorted([*work.rests_on, *([work.drawn_by] if work.drawn_by else [])])
            seconds, chain = max(
                (reach(b) for b in below), default=(work.cut_s, []), key=lambda found: found[0]
            )
            best[id] = (seconds + work.lay_s, [*chain, work])
        return best[id]

    seconds, chain = max((reach(id) for id in by_id), key=lambda found: found[0])
    return chain, seconds


def ways_out(asked: Asked, found: Solved) -> list[WayOut]:
    """Every change that helps, each solved again; those that save the build first.

    Empty where nothing breaks.
    """
    breaks = breaking(asked, found)
    if not breaks:
        return []
    tried = [_tried(kind, says, changed) for kind, says, changed in _changes(asked, breaks)]
    tried += [way for way in (_thicker(asked, breaks), _fewer(asked, breaks)) if way]
    helping = [w for w in tried if (w.over_s, w.closed_s) < (found.over_s, found.closed_s)]
    return sorted(helping, key=lambda w: (not w.saves, w.over_s, w.closed_s))


def _tried(kind: str, says: str, asked: Asked) -> WayOut:
    found = solve(asked.problem(), EFFORT)
    saves = not found.over_s and found.closed_s <= asked.limit_s
    return WayOut(kind, says, found.closed_s, found.over_s, saves, found.is_proven)


def _changes(asked: Asked, breaks: list[Break]) -> Iterator[tuple[str, str, Asked]]:
    """Changes of crew and place."""
    if len(asked.hands) < MOST_HANDS:
        more = (*asked.hands, Hand("one more"))
        yield "hand", Sentence("One more hand from the start"), replace(asked, hands=more)
    for n, hand in enumerate(asked.hands):
        if hand.free_from_s > asked.numbers["pull_time"] // 1000:
            hands = (*asked.hands[:n], Hand(hand.name), *asked.hands[n + 1 :])
            yield (
                "earlier",
                Sentence("{name} from the start", name=hand.name),
                replace(asked, hands=hands),
            )
    if not any(b.part for b in breaks):
        return
    if asked.upside_down:
        turned = replace(asked, job=asked.upside_down, upside_down=None)
        yield "upside down", Sentence("Built standing on its head"), turned
    if not any(b.over_s for b in breaks):
        return
    places = asked.numbers["heater_places"] + MORE_HEATER
    says = Sentence(
        "{places} places under the heater instead of {heater_places}",
        places=places,
        heater_places=asked.numbers["heater_places"],
    )
    yield "heater", says, replace(asked, numbers={**asked.numbers, "heater_places": places})
    if asked.log_place != "heater":
        says = Sentence("The growing log under the heater as well")
        yield "log under heater", says, replace(asked, log_place="heater")


def _thicker(asked: Asked, breaks: list[Break]) -> WayOut | None:
    """The breaking parts at the first common thickness that lets all of them join."""
    by_id = {work.id: work for work in asked.job.works}
    parts = [by_id[b.part] for b in breaks if b.part and not by_id[b.part].drawn_by]
    if not parts or not any(b.over_s for b in breaks):
        return None
    way = None
    for um in (t for t in THICKNESSES_UM if t > min(part.thick_um for part in parts)):
        thick = {part.id: max(um, part.thick_um) for part in parts}
        names = ", ".join(part.name for part in parts)
        says = Sentence("{names} at least {mm:g} mm thick", names=names, mm=um / 1000)
        way = _tried("thicker", says, replace(asked, thicker_um={**asked.thicker_um, **thick}))
        if not way.over_s:
            break
    return way


def _fewer(asked: Asked, breaks: list[Break]) -> WayOut | None:
    """The fewest parts, broken ones and then the smallest, that must be merged into others."""
    broken = [b.part for b in breaks if b.part and b.over_s]
    small = sorted(asked.job.works, key=lambda work: (work.area_um2, work.id))
    plain = [w.id for w in small if w.kind not in ("drawing", "copy")]
    order = [id for id in dict.fromkeys([*broken, *plain]) if id in plain]
    way = None
    for fewer in range(1, min(MOST_FEWER, len(order) - 1) + 1):
        changed = replace(asked, job=merged(asked.job, order[:fewer]))
        problem = changed.problem()
        if soonest(problem) + problem.closes_s > asked.limit_s:
            continue
        names = [work.name for work in asked.job.works if work.id in order[:fewer]]
        says = Sentence(
            "{fewer} fewer: {names} merged into what they touch",
            fewer=fewer,
            names=", ".join(names),
        )
        way = _tried("fewer", says, changed)
        if way.saves:
            break
    return way


def merged(job: Job, ids: list[str]) -> Job:
    """The job without some works: what lay on them lies on what they lay on."""
    works = {work.id: work for work in job.works}
    for id in ids:
        gone = works.pop(id)
        works = {
            other.id: replace(
                other,
                rests_on=_through(other.rests_on, gone, gone.rests_on),
                touches=_through(other.touches, gone, gone.touches) - {other.id},
            )
            for other in works.values()
        }
    return replace(job, works=tuple(works.values()))


def _through(links: frozenset[str], gone: Work, instead: frozenset[str]) -> frozenset[str]:
    return (links - {gone.id}) | instead if gone.id in links else links
