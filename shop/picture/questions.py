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
    asks = "Can the text be read?"
    wanted, n, section = case.enquiry.text.strip(), case.numbers, case.facts.section
    letters = [sign for sign in wanted if sign.isalpha()]
    rod = section.rod_diameter_m * MM
    if not letters:
        return Answered("text", asks, "yes", "There is no text.")
    if any(sign.islower() for sign in letters) and rod < n["small_letters_rod"] / 1000:
        least = n["small_letters_rod"] / 1000
        says = f"Small letters need a rod of {least:g} mm; this one is {rod:g} mm."
        return Answered("text", asks, "no", says)
    height = case.facts.letter_m and case.facts.in_rod_mm(case.facts.letter_m)
    if height and height < n["letter_limit"] / 1000 - 1e-6:
        says = (
            f"Letters would be {height:.1f} mm high; {n['letter_limit'] / 1000:g} mm can be read."
        )
        return Answered("text", asks, "no", says)
    if case.enquiry.ring and (refused := _ring(case, len(letters))):
        return Answered("text", asks, "no", refused)
    return Answered("text", asks, "yes", _faces(wanted, letters))


def _ring(case: Case, letters: int) -> str:
    """Why a ring of text can't be; empty where it can."""
    n, rod = case.numbers, case.facts.section.rod_diameter_m * MM
    if rod < n["ring_rod"] / 1000:
        return f"A ring of letters needs a rod of {n['ring_rod'] / 1000:g} mm; this is {rod:g} mm."
    most = int(ring_letters(case.facts.section, n) * n["ring_share"] / 1e6)
    return f"{letters} letters; a ring in this rod holds {most}." if letters > most else ""


def _faces(wanted: str, letters: list[str]) -> str:
    plain = "".join(letters)
    count = f"{len(letters)} letters"
    if set(plain) <= BOTH_WAYS and plain == plain[::-1]:
        return f"{count}, and they read from both faces."
    turned = sorted({sign for sign in letters if sign.upper() not in BOTH_WAYS})
    if turned:
        return f"{count}; {', '.join(turned)} are turned on the other face, which can't be helped."
    return f"{count}; on the other face they stand in the other order."


def lines(case: Case) -> Answered:
    """The finest line and the smallest hole, by the hand's limit and by the eye's."""
    asks, n, facts = "Are the finest lines thick enough?", case.numbers, case.facts
    says = []
    for name, width, eye in (
        ("line", facts.line_m, n["line_limit"]),
        ("hole", facts.hole_m, n["hole_limit"]),
    ):
        if width is None:
            continue
        in_rod, at_log = facts.in_rod_mm(width), width * MM
        # Widths of a drawing are known to a pixel, a few hundredths of a millimetre in the rod.
        if in_rod < eye / 1000 * 0.999:
            says.append(
                f"The finest {name} is {in_rod:.2f} mm in the rod; {eye / 1000:g} mm reads."
            )
        elif at_log < n["strip_limit"] / 1000 * 0.999:
            least = n["strip_limit"] / 1000
            says.append(f"The finest {name} is {at_log:.1f} mm at the log; hands lay {least:g} mm.")
    if says:
        return Answered("lines", asks, "no", " ".join(says))
    if facts.line_m is None:
        return Answered("lines", asks, "yes", "There is no line in it.")
    finest = f"The finest line is {facts.in_rod_mm(facts.line_m):.2f} mm in the rod"
    return Answered("lines", asks, "yes", f"{finest}; {n['line_limit'] / 1000:g} mm reads.")


def parts(case: Case) -> Answered:
    """Distinct parts, distinct colours, and the build against the clock."""
    asks, n, facts = "Can these hands build it in time?", case.numbers, case.facts
    says = []
    if facts.parts > n["parts_limit"]:
        says.append(f"{facts.parts} parts; {n['parts_limit']} can be built.")
    if len(facts.colours) > n["colours_limit"]:
        says.append(f"{len(facts.colours)} colours; {n['colours_limit']} can be kept warm.")
    if not case.build.holds:
        says.append(case.build.says)
    if says:
        return Answered("parts", asks, "no", " ".join(says))
    minutes, limit = math.ceil(case.build.minutes), case.build.limit_minutes
    colours = f"{len(facts.colours)} colour{'s' * (len(facts.colours) != 1)}"
    count = f"{facts.parts} part{'s' * (facts.parts != 1)}"
    done = f"{count}, {colours}: closed in {minutes} min of {limit:g}."
    return Answered("parts", asks, "yes", done)


def sugar(case: Case) -> Answered:
    """What the order needs against what is planned."""
    asks, planned = "Is there enough sugar?", case.log_kg * case.logs
    logs = f"{case.logs} logs" if case.logs > 1 else "The log"
    weigh = f"{logs} {'weigh' if case.logs > 1 else 'weighs'} {planned:.2f} kg"
    says = f"{case.enquiry.packs} bags need {case.need_kg:.2f} kg. {weigh}"
    if case.need_kg > planned:
        return Answered("sugar", asks, "no", f"{says}: {case.need_kg - planned:.2f} kg short.")
    spare = 100 * (planned / case.need_kg - 1)
    return Answered("sugar", asks, "yes", f"{says}: {spare:.0f} % to spare.")


def law(case: Case) -> Answered:
    """Colours against the limits of where it is sold, and what must be declared."""
    asks, enquiry = "Is it allowed where it is sold?", case.enquiry
    if enquiry.where is None:
        return Answered("law", asks, "ask", "Ask where it will be sold.")
    if refused := [why for dyed in enquiry.dyes if (why := _refused(case, dyed, enquiry.where))]:
        return Answered("law", asks, "no", " ".join(refused))
    if enquiry.allergens is None:
        return Answered("law", asks, "ask", "Ask what flavour and colours contain.")
    declared = ", ".join(enquiry.allergens) or "nothing"
    checked = "Check the colours with your authority" if enquiry.dyes else "No colour was named"
    return Answered("law", asks, "yes", f"To declare: {declared}. {checked}.")


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
        return str(error)
    if found.piece_passes:
        return ""
    most = found.limit.most_mg_per_kg
    return f"{dye.colour} is {found.piece:.0f} mg/kg in the sweet; {most:g} may be."


def day(case: Case) -> Answered:
    """Whether the day is free, and whether the hot part ends inside the shift."""
    asks, enquiry = "Is there a day for it?", case.enquiry
    if not enquiry.day:
        return Answered("day", asks, "ask", "Ask which day it can be made.")
    if enquiry.day in enquiry.busy:
        return Answered("day", asks, "no", f"{said(enquiry.day)} is taken.")
    if enquiry.due and enquiry.day > enquiry.due:
        says = f"{said(enquiry.day)} is too late; it must be made by {said(enquiry.due)}."
        return Answered("day", asks, "no", says)
    if enquiry.light_up_min is None or enquiry.shift_end_min is None:
        return Answered(
            "day", asks, "ask", "Ask when the kettle can be lit and when the shift ends."
        )
    latest = latest_light_up(case)
    if enquiry.light_up_min > latest:
        says = f"Lit at {clock(enquiry.light_up_min)} it runs past the end of the shift"
        return Answered("day", asks, "no", f"{says}; light it by {clock(latest)}.")
    says = f"{said(enquiry.day)}, lit by {clock(latest)}, is done within the shift."
    return Answered("day", asks, "yes", says)


def latest_light_up(case: Case) -> int:
    """Minute of the day by which the kettle must be lit: what is hot stays inside the shift."""
    n, end = case.numbers, case.enquiry.shift_end_min or 0
    return end - math.ceil((n["zone"] + n["handover"] + n["spread"]) / 60_000)


def variation(case: Case) -> Answered:
    """What hand work brings with it, agreed in writing."""
    asks = "Does the customer take hand work as it is?"
    faces = "both faces look alike" if case.facts.mirror_symmetric else "one face is mirrored"
    what = f"the picture wanders, {faces}, weights differ by 7 %"
    if case.enquiry.accepts_variation is None:
        return Answered("variation", asks, "ask", f"Ask, in writing: {what}.")
    if not case.enquiry.accepts_variation:
        return Answered("variation", asks, "no", f"Hand work can't do without: {what}.")
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
