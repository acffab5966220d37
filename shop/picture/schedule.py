"""The build: who cuts and lays which part when, whether it is closed in time, what would help.

Plain data out, for the command line and the pages. Seconds count from the moment the white goes on
the hook.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, TypeAlias

from shop.picture.crew import Asked, Hand
from shop.picture.holding import Place
from shop.picture.problem import Problem, Spell
from shop.picture.saving import Break, WayOut, breaking, ways_out
from shop.picture.shapes import Motif, PicturePart, Section
from shop.picture.solving import Solved, calmer, solve
from shop.picture.ticks import blocks_of
from shop.picture.work import Work, job_of
from shop.sentences import Sentence

Plain: TypeAlias = dict[str, Any]
EFFORT = 2.0


def build(
    parts: Sequence[PicturePart],
    section: Section,
    hands: Sequence[Hand],
    numbers: Mapping[str, int],
    motifs: Sequence[Motif] = (),
    *,
    places: tuple[Place, ...] = ("board", "heater"),
    log_place: Place = "board",
    effort: float = EFFORT,
) -> Plain:
    """A build of these parts by 1–4 named hands, as plain data; see `built` for its keys.

    `numbers`: `shop.plan.numbers.shop_numbers(own)`. `effort`: deterministic seconds of the solver
    for each search (0.1–60). Raises OutOfRange for no part, over 80 parts or over four hands, and
    HandsWrong for two of one name.

        build(drawn.parts, drawn.section, [Hand("Maren"), Hand("Tobit")], shop_numbers({}))
    """
    asked = asked_of(parts, section, hands, numbers, motifs)
    return built(replace(asked, places=places, log_place=log_place), effort)


def asked_of(
    parts: Sequence[PicturePart],
    section: Section,
    hands: Sequence[Hand],
    numbers: Mapping[str, int],
    motifs: Sequence[Motif] = (),
) -> Asked:
    """The question that a picture and some hands make, parts on the board or under the heater."""
    job, head = (
        job_of(parts, section, numbers, motifs, upside_down=turned) for turned in (False, True)
    )
    return Asked(job, tuple(hands), numbers, upside_down=head)


def built(asked: Asked, effort: float = EFFORT) -> Plain:
    """The answer to one question.

    `order`: works as they are laid, each with `n part name portion kind start_s cut_end_s lay_s
    end_s place wait_s slack_s hand cut_hand rests_on` (start: cutting begins; end: laid; `slack_s`:
    how much longer it would stick once all its neighbours are on). `pull`, `close`: `start_s
    end_s`.
    `minutes` to the closed log, `limit_minutes`, `holds`: in time with every part joined.
    `soonest_minutes`: what the fastest build found takes; one in which whoever cuts a part lays it
    at once may take a part's time longer, and is shown where it holds. `proof` is the fastest
    one's: `proven best` or `only good`, then `gap_s` is by how much another may beat it at most.
    `breaks`, `saves`: what is in the way, what would help. `blocks`: 5 to 7 to tick. `locked`:
    pairs that hook together. `says`: the answer in a sentence.
    """
    problem = asked.problem()
    found = calmer(problem, solve(problem, effort), asked.limit_s, effort)
    breaks = breaking(asked, found)
    hands = _hands(problem, found, [hand.name for hand in asked.hands])
    order = _order(problem, found, hands)
    return {
        "hands": [hand.name for hand in asked.hands],
        "order": order,
        "pull": {"start_s": 0, "end_s": problem.begins_s},
        "close": {
            "start_s": found.closed_s - problem.closes_s,
            "end_s": found.closed_s,
            "names": list(asked.job.wraps),
        },
        "minutes": round(found.closed_s / 60, 1),
        "limit_minutes": round(asked.limit_s / 60, 1),
        "holds": not breaks,
        "soonest_minutes": round(found.soonest_s / 60, 1),
        "proof": "proven best" if found.is_proven else "only good",
        "gap_s": 0 if found.is_proven else found.soonest_s - found.bound_s,
        "breaks": [_break(b) for b in breaks],
        "saves": [_way(w) for w in ways_out(asked, found)],
        "blocks": blocks_of(order),
        "locked": [list(pair) for pair in asked.job.locked],
        "says": _says(asked, found, breaks),
    }


def _hands(problem: Problem, found: Solved, names: list[str]) -> dict[tuple[str, str], str]:
    """Who cuts and who lays each work: whoever cut it if free, else who has been free longest."""
    free = dict(zip(names, problem.free_from, strict=True))
    doing: list[tuple[int, str, str, int]] = []
    for work in problem.works:
        spell = found.spells[work.id]
        doing += [(spell.lay_s, "lay", work.id, work.lay_s)] if work.lay_s else []
        doing += [(spell.cut_s, "cut", work.id, work.cut_s)] if work.cut_s else []
    given: dict[tuple[str, str], str] = {}
    for start, act, id, span in sorted(doing):
        able = [name for name in names if free[name] <= start]
        same = given.get((id, "cut"), "")
        given[id, act] = same if same in able else min(able, key=lambda name: free[name])
        free[given[id, act]] = start + span
    return given


def _order(problem: Problem, found: Solved, hands: Mapping[tuple[str, str], str]) -> list[Plain]:
    names = {work.id: work.name for work in problem.works}
    laid = sorted(problem.works, key=lambda w: (found.spells[w.id].lay_s, found.spells[w.id].cut_s))
    return [
        {
            "n": n,
            "part": work.id,
            "name": work.name,
            "portion": work.portion,
            "kind": work.kind,
            **_times(work, problem, found),
            "hand": hands.get((work.id, "lay"), ""),
            "cut_hand": hands.get((work.id, "cut"), ""),
            "rests_on": sorted(names[id] for id in work.rests_on),
        }
        for n, work in enumerate(laid, 1)
    ]


def _times(work: Work, problem: Problem, found: Solved) -> Plain:
    spell = found.spells[work.id]
    cut_end, laid = spell.cut_s + work.cut_s, spell.lay_s + work.lay_s
    return {
        "start_s": spell.cut_s,
        "cut_end_s": cut_end,
        "lay_s": spell.lay_s,
        "end_s": laid,
        "place": spell.place if spell.lay_s > cut_end else None,
        "wait_s": spell.lay_s - cut_end,
        "slack_s": _slack(work, problem, found, spell),
    }


def _slack(work: Work, problem: Problem, found: Solved, spell: Spell) -> int | None:
    """How much longer it would stick when its last neighbour is on [s]; None for a drawing."""
    if spell.place is None:
        return None
    by_id = {w.id: w for w in problem.works}
    last = max(found.spells[id].lay_s + by_id[id].lay_s for id in {work.id, *work.touches})
    waited = (spell.lay_s - spell.cut_s - work.cut_s) / problem.opens[spell.place][work.id]
    return int(problem.sticks[work.id] * (1 - waited)) - (last - spell.lay_s)


def _break(found: Break) -> Plain:
    return {"part": found.part, "why": found.why, "over_s": found.over_s}


def _way(way: WayOut) -> Plain:
    return {
        "kind": way.kind,
        "says": way.says,
        "minutes": round(way.closed_s / 60, 1),
        "over_s": way.over_s,
        "saves": way.saves,
        "proof": "proven best" if way.is_proven else "only good",
    }


def _says(asked: Asked, found: Solved, breaks: list[Break]) -> str:
    """`25 parts, 2 hands: closed in 24 min of 30; no build is sooner.`"""
    count = len(asked.hands)
    hands = Sentence("1 hand") if count == 1 else Sentence("{n} hands", n=count)
    parts = sum(work.kind not in ("drawing", "copy") for work in asked.job.works)
    minutes, limit = -(-found.closed_s // 60), asked.limit_s // 60
    begins = Sentence(
        "{parts}, {hands}: closed in {minutes} min of {limit}",
        parts=Sentence("1 part") if parts == 1 else Sentence("{n} parts", n=parts),
        hands=hands,
        minutes=minutes,
        limit=limit,
    )
    if breaks:
        return Sentence("{begins}; {why}.", begins=begins, why=breaks[0].why)
    least = found.soonest_s if found.is_proven else found.bound_s
    if found.closed_s == least:
        return Sentence("{begins}; no build is sooner.", begins=begins)
    return Sentence(
        "{begins}; no build is over {s} s sooner.", begins=begins, s=found.closed_s - least
    )
