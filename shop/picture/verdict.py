"""Yes, no, or instead: what is said at the counter, with reasons, figures and counter-offers.

Plain data out. The build behind it is solved, every offer is the whole question asked again.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, TypeAlias

from shop.picture.case import MM, BuildFacts, Case, Enquiry, facts_of
from shop.picture.crew import MOST_WORKS, Asked, Hand
from shop.picture.needs import Numbers
from shop.picture.offers import Instead, answers, offers, passes, together
from shop.picture.saving import merged
from shop.picture.schedule import asked_of, built
from shop.picture.shapes import Drawn
from shop.sentences import Sentence, listed

Plain: TypeAlias = dict[str, Any]
EFFORT = 1.0


def verdict(
    drawn: Drawn,
    enquiry: Enquiry,
    hands: Sequence[Hand],
    numbers: Numbers,
    *,
    letter_m: float | None = None,
    build: Plain | None = None,
) -> Plain:
    """The verdict on a drawn picture and an order; see `judged` for its keys.

    `build`: what `schedule.build` said of the same picture and hands, where it is known already.

        verdict(drawn, Enquiry(packs=80, fill_mg=100_000), [Hand("Maren"), Hand("Tobit")], numbers)
    """
    return judged(case_of(drawn, enquiry, hands, numbers, letter_m=letter_m, build=build))


def case_of(
    drawn: Drawn,
    enquiry: Enquiry,
    hands: Sequence[Hand],
    numbers: Numbers,
    *,
    letter_m: float | None = None,
    build: Plain | None = None,
) -> Case:
    """Picture, order and build as one case; the build is solved where it is not handed in."""
    facts = facts_of(drawn, numbers, letter_m=letter_m)
    asked = asked_of(drawn.parts, drawn.section, hands, numbers, drawn.motifs)
    if len(asked.job.works) > MOST_WORKS:
        return Case(facts, enquiry, _far_too_many(asked), len(hands), numbers)
    found = build or built(asked, EFFORT)
    ways = (*found["saves"], *_to_the_limit(asked))
    told = BuildFacts(found["minutes"], found["limit_minutes"], found["holds"], found["says"], ways)
    return Case(facts, enquiry, told, len(hands), numbers)


def _far_too_many(asked: Asked) -> BuildFacts:
    """More parts than are worth solving: the trade's rule of thumb, parts shared among hands."""
    n, count = asked.numbers, len(asked.job.works)
    seconds = count * n["part_time"] / len(asked.hands) + n["pull_time"] + n["close_time"]
    minutes, limit = seconds / 60_000, asked.limit_s / 60
    says = Sentence(
        "{count} parts would take about {minutes:.0f} min of {limit:.0f}.",
        count=count,
        minutes=minutes,
        limit=limit,
    )
    return BuildFacts(round(minutes, 1), limit, minutes <= limit, says)


def _to_the_limit(asked: Asked) -> list[Plain]:
    """Where there are more parts than the shop builds: as many as it does, solved again."""
    plain = [work for work in asked.job.works if work.kind not in ("drawing", "copy")]
    over = len(plain) - asked.numbers["parts_limit"]
    if over <= 0:
        return []
    small = [w.id for w in sorted(plain, key=lambda w: (w.area_um2, w.id))[:over]]
    found = built(replace(asked, job=merged(asked.job, small)), EFFORT)
    says = Sentence("{over} fewer: the smallest parts merged into what they touch", over=over)
    return [{"kind": "fewer", "says": says, "minutes": found["minutes"], "saves": found["holds"]}]


def judged(case: Case) -> Plain:
    """`verdict`: `yes`, `no` or `instead`; `says`: that in a sentence.

    `questions`: the seven, each `id asks reply says`, reply `yes`, `no` or `ask`; `reasons`: what
    is a no; `to_ask`: what the customer must still be asked. `figures`: `minutes draw_minutes
    metres packs rods need_kg planned_kg logs rod_mm` of the order as asked. `counter_offers`: each
    with `kind says passes` and the same figures; those after which nothing is a no come first.
    """
    found = answers(case)
    said_no = [answer for answer in found if answer.reply == "no"]
    counter = _counter_offers(case) if said_no else []
    helped = any(offer["passes"] for offer in counter)
    word = "yes" if not said_no else "instead" if helped else "no"
    return {
        "verdict": word,
        "says": _says(word, [a.says for a in said_no], counter),
        "questions": [
            {"id": a.id, "asks": a.asks, "reply": a.reply, "says": a.says} for a in found
        ],
        "reasons": [a.says for a in said_no],
        "to_ask": [a.says for a in found if a.reply == "ask"],
        "figures": figures(case),
        "counter_offers": counter,
    }


def figures(case: Case) -> Plain:
    """Minutes of building and drawing, metres of good rod, bags, rods, sugar needed and planned."""
    given = case.gives
    return {
        "minutes": round(case.build.minutes * case.logs, 1),
        "draw_minutes": round(given.draw_minutes, 1),
        "metres": round(given.metres, 1),
        "packs": given.packs,
        "rods": round(given.rods, 1),
        "need_kg": round(case.need_kg, 2),
        "planned_kg": round(case.log_kg * case.logs, 2),
        "logs": case.logs,
        "rod_mm": round(case.facts.section.rod_diameter_m * MM, 1),
    }


def _counter_offers(case: Case) -> list[Plain]:
    single = offers(case)
    both = together(case)
    found = [_offered(offer) for offer in single]
    if both and both.says not in {offer["says"] for offer in found}:
        found.append(_offered(both))
    return sorted(found, key=lambda offer: not offer["passes"])


def _offered(offer: Instead) -> Plain:
    said = {"kind": offer.kind, "says": offer.says, "passes": passes(offer.case)}
    return {**said, **figures(offer.case)}


def _says(word: str, reasons: list[str], counter: list[Plain]) -> str:
    if word == "yes":
        return Sentence("Yes, we can make it.")
    if word == "no":
        return Sentence("No. {reasons}", reasons=listed(reasons, " "))
    best = counter[0]
    minutes, metres, packs = math.ceil(best["minutes"]), round(best["metres"]), best["packs"]
    gives = Sentence("{metres} m of rod, {packs} bags", metres=metres, packs=packs)
    # Without a picture no build was tried, and no minutes of one are told.
    if minutes:
        gives = Sentence("{minutes} min to build, {gives}", minutes=minutes, gives=gives)
    return Sentence(
        "Not as it is. {reasons} Instead: {offer} ({gives}).",
        reasons=listed(reasons, " "),
        offer=best["says"],
        gives=gives,
    )
