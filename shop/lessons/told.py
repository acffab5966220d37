"""What one boil says of each number: a value, how unsure, and how far all may be wrong together.

Worked by hand beside each in tests/lessons/test_told.py, for the invented boil.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from shop.lessons.boil import Boil, Measured, between
from shop.lessons.catalogue import Lesson, lessons
from shop.lessons.errors import LeftOut
from shop.plan.numbers import defaults
from shop.sentences import Sentence

PPM = 1_000_000
COOL_TABLE = 31_000
AT_140 = Measured(140_000, 500)  # 'It passes 140 °C': seen in whole degrees.
QUARTER_MINUTE, LEAST_RISE = 15_000, 30_000
WHITE_ENOUGH = 4
COUNT_SD = 3.0  # Strokes miscounted; judgement.
TRIAL_ROD = 100_000  # um, as the step says: weigh a trial rod of 100 mm.
LEFT_OVER_SD = 20_000.0  # mg, of colours left over, reckoned and not weighed; judgement.
HALF_NORMAL = math.sqrt(math.pi / 2)  # 1 / mean of |N(0, 1)|


@dataclass(frozen=True, slots=True)
class Said:
    """What a boil says of a number [its fixed unit]; standard deviations as in `belief.Seen`."""

    value: float
    sd: float
    shared: float = 0.0


def late_rise(boil: Boil) -> Said:
    """(peak − 140 °C) / time · 15 s; both on the same thermometer, so its error falls out."""
    peak, start = boil.read("peak"), boil.pressed("cook.at-140")
    poured, read = boil.pressed("cook.poured"), boil.read_at("peak")
    time = between(start, min(poured, read, key=lambda moment: moment.value))
    gain = peak.value - AT_140.value
    if time.value < LEAST_RISE or gain <= 0:
        raise LeftOut(
            Sentence("Less than half a minute, or nothing gained, from 140 °C to the peak.")
        )
    rate = gain / time.value * QUARTER_MINUTE
    return Said(rate, rate * math.hypot(math.hypot(peak.sd, AT_140.sd) / gain, time.share))


def thermometer(boil: Boil) -> Said:
    """As the sheet reckons it; water's boiling point moves 28 mK per hPa (IAPWS R7-97)."""
    boiling, air = boil.read("boiling_water"), boil.read("barometer")
    boil.figure("trusted_error")
    return Said(boil.figure("thermometer_error"), math.hypot(boiling.sd, air.sd * 0.28))


def white_density(boil: Boil) -> Said:
    """The trial rod where there is one, else what the log leaves for the white."""
    try:
        return _trial_rod(boil)
    except LeftOut:
        return _from_the_log(boil)


def _trial_rod(boil: Boil) -> Said:
    """ρ = 4 m / π d² l of a rod of 100 mm, as thick as rods are wanted."""
    read = boil.read("white_density")
    d = boil.figure("rod_wanted")
    mass = read.value * math.pi / 4 * d**2 * TRIAL_ROD / 1e15  # mg
    scale = boil.sheet["records"]["white_density"]["scale_step"] or 1000
    parts = (scale / mass, 2 * 100 / d, 1000 / TRIAL_ROD)
    share = math.sqrt(sum(part**2 for part in parts) / 12)
    return Said(read.value, read.value * share)


def _from_the_log(boil: Boil) -> Said:
    """ρ_white = (ρ_log − Σ f ρ) / f_white, f by area; ρ_log = 4π m / (l girth²).

    The other sugars' densities are the sheet's: as far as they are in doubt, all logs are wrong
    together.
    """
    mass, length, girth = (boil.read(what) for what in ("log_mass", "log_length", "girth"))
    whole = mass.value * 4 * math.pi / (length.value * girth.value**2) * 1e15
    share = math.sqrt(mass.share**2 + length.share**2 + (2 * girth.share) ** 2)
    areas = _areas(boil)
    white = sum(area for treatment, area in areas if treatment == "white")
    if not white:
        raise LeftOut(Sentence("No white in this log."))
    others = [(t, area / white) for t, area in areas if t != "white"]
    rest = sum(part * boil.number(f"{t}_density") for t, part in others)
    all_parts = 1 + sum(part for _, part in others)
    doubts = [part * defaults()[f"{t}_density"].doubt / 2 for t, part in _by_treatment(others)]
    return Said(whole * all_parts - rest, whole * share * all_parts, math.hypot(*doubts))


def _areas(boil: Boil) -> list[tuple[str, float]]:
    kind = {portion["id"]: portion["treatment"] for portion in boil.sheet["portions"]}
    return [(kind[part["portion"]], part["area_um2"]) for part in boil.sheet["parts"]]


def _by_treatment(parts: list[tuple[str, float]]) -> list[tuple[str, float]]:
    """Sugars of one treatment have one density, and are wrong together."""
    found: dict[str, float] = {}
    for treatment, part in parts:
        found[treatment] = found.get(treatment, 0.0) + part
    return list(found.items())


def table_loss(boil: Boil) -> Said:
    """1 − (log + colours left over) / on the table.

    Nobody weighs what is on the table: it is reckoned from the charge and the peak, so the doubt
    of the moisture is in every boil alike.
    """
    log, peak = boil.read("log_mass"), boil.read("peak")
    charge = [boil.read(f"{what}_weighed") for what in ("sugar", "syrup")]
    table = boil.figure("table_mass")
    stocked = [p["id"] for p in boil.sheet["portions"] if p["stocked"]]
    left = sum(max(boil.figure(f"{portion}_spare"), 0) for portion in stocked)
    # A kelvin of the peak is about 0.12 % of moisture (Starzak and Peacock's fit near 150 °C).
    own = math.hypot(log.sd, LEFT_OVER_SD, *(c.sd for c in charge), table * 1.2e-6 * peak.sd)
    moisture = defaults()["moisture_offset"].doubt / 2
    return Said(PPM - (log.value + left) / table * PPM, own / table * PPM, moisture)


def _share(part: Measured, whole: Measured) -> Said:
    """part / whole [ppm]."""
    value = part.value / whole.value * PPM
    return Said(value, math.hypot(part.sd, value / PPM * whole.sd) / whole.value * PPM)


def head_share(boil: Boil) -> Said:
    """Head / log."""
    return _share(boil.read("head"), boil.read("log_mass"))


def tail_share(boil: Boil) -> Said:
    """Tail / log."""
    return _share(boil.read("tail"), boil.read("log_mass"))


def dust_share(boil: Boil) -> Said:
    """Dust / (log − head − tail)."""
    log, ends = boil.read("log_mass"), [boil.read(end) for end in ("head", "tail")]
    rods = log.value - sum(end.value for end in ends)
    if rods <= 0:
        raise LeftOut(Sentence("Head and tail weigh more than the log."))
    return _share(boil.read("dust"), Measured(rods, math.hypot(log.sd, *(e.sd for e in ends))))


def table_plastic(boil: Boil) -> Said:
    """time / (1 + slowing · (table − 31 °C))."""
    took, table = boil.took("cook.poured", "cool.turn"), boil.read("table_temperature")
    warmer, slowing = (table.value - COOL_TABLE) / 1000, boil.number("table_slowing") / PPM
    slower = 1 + slowing * warmer
    if slower <= 0.2:
        raise LeftOut(Sentence("The table was far colder than the rule reaches."))
    value = took.value / slower
    own = value * math.hypot(took.share, slowing * table.sd / 1000 / slower)
    doubt = defaults()["table_slowing"].doubt / 2 / PPM
    return Said(value, own, value * warmer * doubt / slower)


def strokes(boil: Boil) -> Said:
    """counted / (1 + more per kelvin · overcook), where it came out white."""
    if boil.read("whiteness").value < WHITE_ENOUGH:
        raise LeftOut(Sentence("The white came out below 4 of 5: how many it wanted is not known."))
    boil.read("peak")
    over, more = boil.figure("overcook") / 1000, boil.number("strokes_per_kelvin") / PPM
    factor = 1 + more * over
    if factor <= 0.2:
        raise LeftOut(Sentence("Cooked far lower than the rule reaches."))
    value = boil.counted("strokes") / factor
    doubt = defaults()["strokes_per_kelvin"].doubt / 2 / PPM
    return Said(value, COUNT_SD / factor, value * over * doubt / factor)


def rod_interval(boil: Boil) -> Said:
    """time of drawing / rods."""
    took, rods = boil.took("roller.point", "roller.tail"), boil.counted("rods")
    return Said(took.value / rods, took.sd / rods)


def spread(boil: Boil) -> Said:
    """2 √(π/2) |day − planned|: on average twice the scatter of days that scatter normally."""
    took = boil.took("cook.light", "cut.last")
    return Said(2 * HALF_NORMAL * abs(took.value - boil.number("zone")), 2 * took.sd)


def _between(start: str, end: str) -> Callable[[Boil], Said]:
    def time(boil: Boil) -> Said:
        took = boil.took(start, end)
        return Said(took.value, took.sd)

    return time


SAYS: dict[str, Callable[[Boil], Said]] = {
    "late_rise": late_rise,
    "thermometer": thermometer,
    "white_density": white_density,
    "table_loss": table_loss,
    "head_share": head_share,
    "tail_share": tail_share,
    "dust_share": dust_share,
    "table_plastic": table_plastic,
    "strokes": strokes,
    "pull_time": _between("hook.hang", "hook.pull"),
    "close_time": _between("block.check", "block.jacket"),
    "rod_interval": rod_interval,
    "zone": _between("cook.light", "cut.last"),
    "spread": spread,
}


def told(sheet: Mapping[str, Any], state: Mapping[str, Any]) -> dict[str, Said | str]:
    """What the boil says of every lesson, or the sentence why it says nothing."""
    boil = Boil(sheet, state)
    return {key: _said(SAYS[key], boil, lesson) for key, lesson in lessons().items()}


def _said(says: Callable[[Boil], Said], boil: Boil, lesson: Lesson) -> Said | str:
    try:
        said = says(boil)
    except LeftOut as why:
        return str(why)
    reach = (lesson.high - lesson.low) / 2
    if not lesson.low - reach <= said.value <= lesson.high + reach:
        return Sentence("Far outside the range the number can have: a wrong entry?")
    return said
