"""The questions of the counter, in their order: each answered yes, no, or still to ask.

1 text, 2 finest line and hole, 3 parts and colours, 4 sugar, 5 law, 6 the day, 7 hand variation.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from shop.craft.colour import Jurisdiction, NotAllowed, held_against
from shop.picture.case import MM, Case
from shop.picture.lettering import BOTH_WAYS
from shop.picture.needs import Numbers
from shop.picture.shapes import Section
from shop.sentences import Sentence, listed

Reply = Literal["yes", "no", "ask"]


@dataclass(frozen=True, slots=True)
class Answered:
    """One question with its answer and a plain sentence that says why."""

    id: str
    asks: str
    reply: Reply
    says: str


def ring_letters(section: Section, n: Numbers) -> int:
    """The most letters a ring of text can hold in the rod, inside casing and band.

    n = 2π(r − h/2)/(w + gap), r the picture's radius in the rod, h, w, gap the shop's letter. Plan
    on `ring_share` of it.
    """
    radius = section.picture_radius_m / section.diameter_ratio * MM
    middle = radius - n["letter_limit"] / 1000 / 2
    pitch = (n["letter_width"] + n["letter_gap"]) / 1000
    return max(0, int(2 * math.pi * middle / pitch))


def text(case: Case) -> Answered:
    """How many characters, capitals only, which face reads."""
    asks = Sentence("Can the text be read?")
    wanted, n, section = case.enquiry.text.strip(), case.numbers, case.facts.section
    letters = [sign for sign in wanted if sign.isalpha()]
    rod = section.rod_diameter_m * MM
    if not letters:
        return Answered("text", asks, "yes", Sentence("There is no text."))
    if any(sign.islower() for sign in letters) and rod < n["small_letters_rod"] / 1000:
        least = n["small_letters_rod"] / 1000
        says = Sentence(
            "Small letters need a rod of {least:g} mm; this one is {rod:g} mm.",
            least=least,
            rod=rod,
        )
        return Answered("text", asks, "no", says)
    height = case.facts.letter_m and case.facts.in_rod_mm(case.facts.letter_m)
    if height and height < n["letter_limit"] / 1000 - 1e-6:
        says = Sentence(
            "Letters would be {height:.1f} mm high; {least:g} mm can be read.",
            height=height,
            least=n["letter_limit"] / 1000,
        )
        return Answered("text", asks, "no", says)
    if case.enquiry.ring and (refused := _ring(case, len(letters))):
        return Answered("text", asks, "no", refused)
    return Answered("text", asks, "yes", _faces(wanted, letters))


def _ring(case: Case, letters: int) -> str:
    """Why a ring of text can't be; empty where it can."""
    n, rod = case.numbers, case.facts.section.rod_diameter_m * MM
    if rod < n["ring_rod"] / 1000:
        return Sentence(
            "A ring of letters needs a rod of {least:g} mm; this is {rod:g} mm.",
            least=n["ring_rod"] / 1000,
            rod=rod,
        )
    most = int(ring_letters(case.facts.section, n) * n["ring_share"] / 1e6)
    return (
        Sentence("{letters} letters; a ring in this rod holds {most}.", letters=letters, most=most)
        if letters > most
        else ""
    )


def _faces(wanted: str, letters: list[str]) -> str:
    plain = "".join(letters)
    count = Sentence("{n} letters", n=len(letters))
    if set(plain) <= BOTH_WAYS and plain == plain[::-1]:
        return Sentence("{count}, and they read from both faces.", count=count)
    turned = sorted({sign for sign in letters if sign.upper() not in BOTH_WAYS})
    if turned:
        return Sentence(
            "{count}; {some} are turned on the other face, which can't be helped.",
            count=count,
            some=", ".join(turned),
        )
    return Sentence("{count}; on the other face they stand in the other order.", count=count)


def lines(case: Case) -> Answered:
    """The finest line and the smallest hole, by the hand's limit and by the eye's."""
    asks, n, facts = Sentence("Are the finest lines thick enough?"), case.numbers, case.facts
    says = []
    for name, width, eye in (
        (Sentence("line"), facts.line_m, n["line_limit"]),
        (Sentence("hole"), facts.hole_m, n["hole_limit"]),
    ):
        if width is None:
            continue
        in_rod, at_log = facts.in_rod_mm(width), width * MM
        # Widths of a drawing are known to a pixel, a few hundredths of a millimetre in the rod.
        if in_rod < eye / 1000 * 0.999:
            says.append(
                Sentence(
                    "The finest {name} is {in_rod:.2f} mm in the rod; {least:g} mm reads.",
                    name=name,
                    in_rod=in_rod,
                    least=eye / 1000,
                )
            )
        elif at_log < n["strip_limit"] / 1000 * 0.999:
            least = n["strip_limit"] / 1000
            says.append(
                Sentence(
                    "The finest {name} is {at_log:.1f} mm at the log; hands lay {least:g} mm.",
                    name=name,
                    at_log=at_log,
                    least=least,
                )
            )
    if says:
        return Answered("lines", asks, "no", listed(says, " "))
    if facts.line_m is None:
        return Answered("lines", asks, "yes", Sentence("There is no line in it."))
    finest = Sentence(
        "The finest line is {width:.2f} mm in the rod", width=facts.in_rod_mm(facts.line_m)
    )
    return Answered(
        "lines",
        asks,
        "yes",
        Sentence("{finest}; {least:g} mm reads.", finest=finest, least=n["line_limit"] / 1000),
    )


def parts(case: Case) -> Answered:
    """Distinct parts, distinct colours, and the build against the clock."""
    asks, n, facts = Sentence("Can these hands build it in time?"), case.numbers, case.facts
    says: list[str] = []
    if facts.parts > n["parts_limit"]:
        says.append(
            Sentence(
                "{parts} parts; {parts_limit} can be built.",
                parts=facts.parts,
                parts_limit=n["parts_limit"],
            )
        )
    if len(facts.colours) > n["colours_limit"]:
        says.append(
            Sentence(
                "{count} colours; {colours_limit} can be kept warm.",
                count=len(facts.colours),
                colours_limit=n["colours_limit"],
            )
        )
    if not case.build.holds:
        says.append(case.build.says)
    if says:
        return Answered("parts", asks, "no", listed(says, " "))
    minutes, limit = math.ceil(case.build.minutes), case.build.limit_minutes
    colours = Sentence("{n} colours", n=len(facts.colours))
    if len(facts.colours) == 1:
        colours = Sentence("1 colour")
    count = Sentence("1 part") if facts.parts == 1 else Sentence("{n} parts", n=facts.parts)
    done = Sentence(
        "{count}, {colours}: closed in {minutes} min of {limit:g}.",
        count=count,
        colours=colours,
        minutes=minutes,
        limit=limit,
    )
    return Answered("parts", asks, "yes", done)


def sugar(case: Case) -> Answered:
    """What the order needs against what is planned."""
    asks, planned = Sentence("Is there enough sugar?"), case.log_kg * case.logs
    weigh = Sentence("The log weighs {kg:.2f} kg", kg=planned)
    if case.logs > 1:
        weigh = Sentence("{n} logs weigh {kg:.2f} kg", n=case.logs, kg=planned)
    says = Sentence(
        "{packs} bags need {need_kg:.2f} kg. {weigh}",
        packs=case.enquiry.packs,
        need_kg=case.need_kg,
        weigh=weigh,
    )
    if case.need_kg > planned:
        return Answered(
            "sugar",
            asks,
            "no",
            Sentence("{says}: {short:.2f} kg short.", says=says, short=case.need_kg - planned),
        )
    spare = 100 * (planned / case.need_kg - 1)
    return Answered(
        "sugar", asks, "yes", Sentence("{says}: {spare:.0f} % to spare.", says=says, spare=spare)
    )


def law(case: Case) -> Answered:
    """Colours against the limits of where it is sold, and what must be declared."""
    asks, enquiry = Sentence("Is it allowed where it is sold?"), case.enquiry
    if enquiry.where is None:
        return Answered("law", asks, "ask", Sentence("Ask where it will be sold."))
    if refused := [why for dyed in enquiry.dyes if (why := _refused(case, dyed, enquiry.where))]:
        return Answered("law", asks, "no", listed(refused, " "))
    if enquiry.allergens is None:
        return Answered("law", asks, "ask", Sentence("Ask what flavour and colours contain."))
    declared = ", ".join(enquiry.allergens) or Sentence("nothing")
    checked = (
        Sentence("Check the colours with your authority")
        if enquiry.dyes
        else Sentence("No colour was named")
    )
    return Answered(
        "law",
        asks,
        "yes",
        Sentence("To declare: {declared}. {checked}.", declared=declared, checked=checked),
    )


def _refused(case: Case, portion: str, where: Jurisdiction) -> str:
    """Why one colour can't be; empty where the finished sweet is within its limit."""
    dye = case.enquiry.dyes[portion]
    same = {p for p, other in case.enquiry.dyes.items() if other.colour == dye.colour}
    doses = [
        (kg, case.enquiry.dyes[p].mg_per_kg if p in same else 0.0)
        for p, kg in case.facts.portions.items()
    ]
    try:
        found = held_against(doses, dye.colour, where)
    except NotAllowed as error:
        return Sentence("{why}", why=error.args[0])
    if found.piece_passes:
        return ""
    most = found.limit.most_mg_per_kg
    return Sentence(
        "{colour} is {piece:.0f} mg/kg in the sweet; {most:g} may be.",
        colour=dye.colour,
        piece=found.piece,
        most=most,
    )


def day(case: Case) -> Answered:
    """Whether the day is free, and whether the hot part ends inside the shift."""
    asks, enquiry = Sentence("Is there a day for it?"), case.enquiry
    if not enquiry.day:
        return Answered("day", asks, "ask", Sentence("Ask which day it can be made."))
    if enquiry.day in enquiry.busy:
        return Answered("day", asks, "no", Sentence("{day} is taken.", day=said(enquiry.day)))
    if enquiry.due and enquiry.day > enquiry.due:
        says = Sentence(
            "{day} is too late; it must be made by {due}.",
            day=said(enquiry.day),
            due=said(enquiry.due),
        )
        return Answered("day", asks, "no", says)
    if enquiry.light_up_min is None or enquiry.shift_end_min is None:
        return Answered(
            "day", asks, "ask", Sentence("Ask when the kettle can be lit and when the shift ends.")
        )
    latest = latest_light_up(case)
    if enquiry.light_up_min > latest:
        says = Sentence(
            "Lit at {time} it runs past the end of the shift", time=clock(enquiry.light_up_min)
        )
        return Answered(
            "day",
            asks,
            "no",
            Sentence("{says}; light it by {time}.", says=says, time=clock(latest)),
        )
    says = Sentence(
        "{day}, lit by {time}, is done within the shift.",
        day=said(enquiry.day),
        time=clock(latest),
    )
    return Answered("day", asks, "yes", says)


def latest_light_up(case: Case) -> int:
    """Minute of the day by which the kettle must be lit: what is hot stays inside the shift."""
    n, end = case.numbers, case.enquiry.shift_end_min or 0
    return end - math.ceil((n["zone"] + n["handover"] + n["spread"]) / 60_000)


def variation(case: Case) -> Answered:
    """What hand work brings with it, agreed in writing."""
    asks = Sentence("Does the customer take hand work as it is?")
    faces = (
        Sentence("both faces look alike")
        if case.facts.mirror_symmetric
        else Sentence("one face is mirrored")
    )
    what = Sentence("the picture wanders, {faces}, weights differ by 7 %", faces=faces)
    if case.enquiry.accepts_variation is None:
        return Answered("variation", asks, "ask", Sentence("Ask, in writing: {what}.", what=what))
    if not case.enquiry.accepts_variation:
        return Answered(
            "variation", asks, "no", Sentence("Hand work can't do without: {what}.", what=what)
        )
    return Answered("variation", asks, "yes", f"Agreed: {what}.")


QUESTIONS: tuple[Callable[[Case], Answered], ...] = (
    text,
    lines,
    parts,
    sugar,
    law,
    day,
    variation,
)


def said(iso: str) -> str:
    """`2026-11-25` as `25 Nov 2026`."""
    at = date.fromisoformat(iso)
    return f"{at.day} {at:%b %Y}"


def clock(minute: int) -> str:
    """Minutes of the day as `10:55`.

    >>> clock(655)
    '10:55'
    """
    return f"{minute // 60:02d}:{minute % 60:02d}"
