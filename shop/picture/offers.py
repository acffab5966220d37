"""What to offer instead: for every no the changes that turn it into a yes, each asked anew."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from shop.picture.case import MM, Case, least_hole_m, least_line_m
from shop.picture.needs import logs_for
from shop.picture.questions import QUESTIONS, Answered, clock, latest_light_up, said
from shop.sentences import Sentence

MOST_ROD_MM = 40
DAYS_AHEAD = 21
# Ways of building that begin with a capital where they stand alone.
SMALL = {
    "hand": Sentence("one more hand from the start"),
    "upside down": Sentence("built standing on its head"),
    "log under heater": Sentence("the growing log under the heater as well"),
}


@dataclass(frozen=True, slots=True)
class Instead:
    """One change, or several joined by 'and', and the case that it makes.

    kind: `capitals`, `mended`, `bigger rod`, `one more hand`, `earlier hand`, `fewer parts`,
    `fewer colours`, `two logs`, `more logs`, `fewer bags`, `earlier`, `other day`, or one of the
    schedule's own.
    """

    kind: str
    says: str
    case: Case


def answers(case: Case) -> list[Answered]:
    """All seven questions."""
    return [question(case) for question in QUESTIONS]


def passes(case: Case) -> bool:
    """Whether nothing is a no."""
    return all(answer.reply != "no" for answer in answers(case))


def offers(case: Case) -> list[Instead]:
    """Every single change that turns at least one no into something else."""
    found = []
    for question in QUESTIONS:
        answer = question(case)
        if answer.reply == "no":
            found += [o for o in _for(answer, case) if question(o.case).reply != "no"]
    return found


def together(case: Case) -> Instead | None:
    """The first changes that help, one by one, until nothing is a no; None where it stays one."""
    made: list[Instead] = []
    while not passes(case):
        step = next(iter(offers(case)), None)
        if step is None or len(made) >= len(QUESTIONS):
            return None
        made.append(step)
        case = step.case
    if not made:
        return None
    return Instead(" and ".join(o.kind for o in made), _joined([o.says for o in made]), case)


def _joined(says: list[str]) -> str:
    whole = says[0]
    for one in says[1:]:
        whole = Sentence("{one} and {more}", one=whole, more=one)
    return whole


def _for(answer: Answered, case: Case) -> Iterator[Instead]:
    ways: dict[str, tuple[Callable[[Case], Iterator[Instead]], ...]] = {
        "text": (_capitals, _bigger_rod),
        "lines": (_thickened, _bigger_rod),
        "parts": (_ways_of_building, _fewer_colours),
        "sugar": (_more_logs, _fewer_bags),
        "day": (_earlier, _other_day),
    }
    for way in ways.get(answer.id, ()):
        yield from way(case)


def _capitals(case: Case) -> Iterator[Instead]:
    words = case.enquiry.text
    if words != words.upper():
        changed = replace(case.enquiry, text=words.upper())
        yield Instead(
            "capitals",
            Sentence("{words} in capitals", words=words.upper()),
            replace(case, enquiry=changed),
        )


def _bigger_rod(case: Case) -> Iterator[Instead]:
    """The thinnest rod, in whole millimetres, in which text and lines read."""
    rod = math.floor(case.facts.section.rod_diameter_m * MM) + 1
    for mm in range(rod, MOST_ROD_MM + 1):
        bigger = case.with_rod(mm / MM)
        if all(question(bigger).reply != "no" for question in QUESTIONS[:2]):
            yield Instead("bigger rod", Sentence("a rod of {mm} mm", mm=mm), bigger)
            return


def _thickened(case: Case) -> Iterator[Instead]:
    """The drawing mended: its thin places as thick as they must be."""
    facts = case.facts
    if facts.thickened is not None:
        mended = replace(
            facts,
            line_m=least_line_m(facts.section, case.numbers),
            hole_m=facts.hole_m and least_hole_m(facts.section, case.numbers),
            thickened=None,
        )
        says = Sentence(
            "thin places mended, which changes {n:.1f} % of the picture", n=100 * facts.thickened
        )
        yield Instead("mended", says, replace(case, facts=mended))


def _fewer_colours(case: Case) -> Iterator[Instead]:
    most = case.numbers["colours_limit"]
    if len(case.facts.colours) > most:
        says = Sentence(
            "{most} colours instead of {count}", most=most, count=len(case.facts.colours)
        )
        facts = replace(case.facts, colours=case.facts.colours[:most])
        yield Instead("fewer colours", says, replace(case, facts=facts))


def _ways_of_building(case: Case) -> Iterator[Instead]:
    """What the schedule found by solving each change again."""
    kinds = {"hand": "one more hand", "earlier": "earlier hand", "fewer": "fewer parts"}
    for way in case.build.ways:
        if not way["saves"]:
            continue
        kind, said = str(way["kind"]), way["says"]
        says = SMALL.get(kind) or (said if isinstance(said, str) else str(said))
        built = replace(case.build, minutes=float(str(way["minutes"])), holds=True, says=says)
        fewer = int(says.split()[0]) if kind == "fewer" else 0
        facts = replace(case.facts, parts=case.facts.parts - fewer)
        hands = case.hands + (kind == "hand")
        changed = replace(case, build=built, facts=facts, hands=hands)
        yield Instead(kinds.get(kind, kind), says, changed)


def _more_logs(case: Case) -> Iterator[Instead]:
    """The same picture in as many logs as it takes, one after another."""
    enquiry = case.enquiry
    logs = logs_for(enquiry.packs, enquiry.fill_mg, case.log_kg, case.numbers)
    if logs and logs > case.logs:
        says = Sentence("two logs") if logs == 2 else Sentence("{n} logs", n=logs)
        yield Instead("two logs" if logs == 2 else "more logs", says, replace(case, logs=logs))


def _fewer_bags(case: Case) -> Iterator[Instead]:
    """As many bags as the planned logs give."""
    packs = case.gives.packs
    if packs:
        changed = replace(case.enquiry, packs=packs)
        yield Instead("fewer bags", Sentence("{n} bags", n=packs), replace(case, enquiry=changed))


def _earlier(case: Case) -> Iterator[Instead]:
    """The same day, lit early enough."""
    enquiry, latest = case.enquiry, latest_light_up(case)
    if latest > 0 and (enquiry.light_up_min or 0) > latest:
        changed = replace(enquiry, light_up_min=latest)
        yield Instead(
            "earlier", Sentence("lit by {time}", time=clock(latest)), replace(case, enquiry=changed)
        )


def _other_day(case: Case) -> Iterator[Instead]:
    """The nearest free day, earlier or later, up to the last on which it can be made."""
    enquiry = case.enquiry
    asked = date.fromisoformat(enquiry.day)
    for step in range(1, DAYS_AHEAD + 1):
        for near in (asked + timedelta(days=step), asked - timedelta(days=step)):
            other = near.isoformat()
            if other in enquiry.busy or (enquiry.due and other > enquiry.due):
                continue
            changed = replace(enquiry, day=other)
            yield Instead("other day", said(other), replace(case, enquiry=changed))
            return
