"""What the boils taught: the shop's numbers from its own records, offered, never set by itself."""

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from shop.lessons.belief import SURE, Held, Seen
from shop.lessons.catalogue import data
from shop.lessons.scores import Record, Score
from shop.lessons.teach import Taught
from shop.record.words import decimal
from shop.screens.office.access import at_desk
from shop.screens.office.lesson_plots import Fit, errors_plot, fit_plot
from shop.screens.office.numbers import SHOWN
from shop.screens.office.units import say
from shop.sentences import Sentence
from shop.store import lessons as store
from shop.store.errors import NotOffered
from shop.store.shapes import ShopInfo

ACTS = {"use": store.use_lesson, "no": store.not_this_one}
DONE = {"use": "is set as the boils taught, from the next sheet on.", "no": "stays as it is."}
# Of what was left out, so many lots are named.
NAMED = 3
# Records are read at most about so long for one answer [s]; then it says how far it is.
READS_S = 0.5


@dataclass(frozen=True, slots=True)
class LessonLine:
    """One number: what it is now, what the boils say, how sure, from which; and the offer."""

    id: str
    name: str
    how: str
    now: str
    held: str
    says: str
    sure: str
    boils: str
    unit: str
    offer: str
    value: int | None
    why: str
    left_out: list[tuple[str, str]]
    drifts: str
    note: str
    plot: Fit | None


@dataclass(frozen=True, slots=True)
class ScoreLine:
    """A figure of the newest boil: foretold with its range, and what came."""

    name: str
    foretold: str
    came: str
    kept: bool


@dataclass(frozen=True, slots=True)
class LessonsPage:
    """Everything the page shows."""

    boils: int
    most: int
    lines: list[LessonLine]
    untold: list[str]
    kept: str
    trend: str
    plot: Fit | None
    lot: str
    scores: list[ScoreLine]
    wrong: str


@at_desk
def lessons(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """What the boils taught; POST uses an offer from the next sheet on, or turns it down.

    The first reading of hundreds of records takes seconds: meanwhile it says how far it is.
    """
    if request.method == "GET" and (waits := _waits(shop)):
        return render(request, "office/lessons_wait.html", {**waits, "shop_name": shop.name})
    wrong = _act(request, shop) if request.method == "POST" else ""
    if request.method == "POST" and not wrong:
        return redirect(f"{request.path}#{request.POST.get('id', '')}")
    context = {"page": _page(store.what_boils_taught(shop.id), wrong), "shop_name": shop.name}
    return render(request, "office/lessons.html", context, status=400 if wrong else 200)


@at_desk
def offered(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """What the boils would have another number for, in a few lines for a plan."""
    if waits := _waits(shop):
        return render(request, "office/lessons_offered.html", waits)
    taught = store.what_boils_taught(shop.id).taught
    lines = [_line(one) for one in taught if one.offer is not None]
    return render(request, "office/lessons_offered.html", {"lines": lines})


def _waits(shop: ShopInfo) -> dict[str, int]:
    """How many boils are read, of how many; nothing when all are."""
    left, of = store.read_on(shop.id, for_s=READS_S)
    return {"read": of - left, "of": of} if left else {}


def _act(request: HttpRequest, shop: ShopInfo) -> str:
    """Does what was pressed; the sentence that says what was wrong, or nothing."""
    act, lesson = request.POST.get("act", ""), request.POST.get("id", "")
    value = request.POST.get("value", "").lstrip("-")
    if act not in ACTS or not value.isdecimal() or len(value) > 15:
        return "There is no such offer."
    number = int(request.POST["value"])
    try:
        by = request.user.get_username()
        done = ACTS[act](shop_id=shop.id, lesson=lesson, value=number, by=by)
    except NotOffered as gone:
        return str(gone)
    messages.success(request, f"{done.name} {DONE[act]}")
    return ""


def _page(found: store.Lessons, wrong: str) -> LessonsPage:
    newest = found.newest
    return LessonsPage(
        boils=found.boils,
        most=store.NEWEST,
        lines=[_line(taught) for taught in found.taught],
        untold=list(data()["untold"].values()),
        kept=_kept(found.record),
        trend=_trend(found.record),
        plot=errors_plot(found.record.rolling) if len(found.record.rolling) > 1 else None,
        lot=newest.told.lot if newest else "",
        scores=[_score(score) for score in newest.scores] if newest else [],
        wrong=wrong,
    )


def _line(taught: Taught) -> LessonLine:
    lesson, held, setting = taught.lesson, taught.belief.now, taught.setting
    unit = SHOWN[lesson.unit][0]
    return LessonLine(
        id=lesson.id,
        name=Sentence(lesson.name),
        how=Sentence(lesson.how),
        now=_words(setting.now, lesson.unit) if lesson.number else "–",
        held=_range(setting.held, lesson.doubt, lesson.unit),
        says=_words(held.value, lesson.unit) if taught.used else "–",
        sure=f"{_words(held.low, lesson.unit)} to {_words(held.high, lesson.unit)}",
        boils=store.in_boils(len(taught.used)),
        unit=unit,
        offer="" if taught.offer is None else _words(taught.offer, lesson.unit),
        value=taught.offer,
        why=Sentence(taught.why.value),
        left_out=_left_out(taught.left_out),
        drifts=_drifts(taught),
        note=_note(taught),
        plot=_fit(taught),
    )


def _words(value: float, unit: str) -> str:
    """In people's unit; one more decimal than the shop's numbers have, where they have one."""
    _, per, places = SHOWN[unit]
    return decimal(round(value), per, places + (unit in ("mK", "ms")))


def _range(value: int, doubt: int, unit: str) -> str:
    return f"{_words(value - doubt, unit)} to {_words(value + doubt, unit)}"


def _left_out(rows: tuple[tuple[str, str], ...]) -> list[tuple[str, str]]:
    """Each reason with its lots, the commonest first."""
    by_reason: dict[str, list[str]] = {}
    for lot, reason in rows:
        by_reason.setdefault(reason, []).append(lot)
    ranked = sorted(by_reason.items(), key=lambda item: -len(item[1]))
    return [(reason, _some(lots)) for reason, lots in ranked]


def _some(lots: list[str]) -> str:
    more = len(lots) - NAMED
    return ", ".join(lots[:NAMED]) + (Sentence(" and {more} more", more=more) if more > 0 else "")


def _drifts(taught: Taught) -> str:
    """Said where the drift of ten boils is wider than the estimate is unsure."""
    if len(taught.used) < 5 or taught.belief.drift * 10**0.5 < taught.belief.now.sd:
        return ""
    return "It moves: newer boils count for more."


def _note(taught: Taught) -> str:
    """What to do with a number that has none to set."""
    if taught.lesson.id != "late_rise" or not taught.used:
        return ""
    minute = say(round(4 * taught.belief.now.value), "mK")
    return Sentence(
        "{minute} in the last minute: stand by that much before the mark, eyes on the thermometer.",
        minute=minute,
    )


def _fit(taught: Taught) -> Fit | None:
    """What each boil said, over what was believed after it; a boil alone draws no line."""
    if len(taught.belief.course) < 3 or not taught.used:
        return None
    _, per, _ = SHOWN[taught.lesson.unit]
    points = [Seen(s.boil, s.value / per, s.sd / per) for s in taught.used]
    course = [_scaled(held, per) for held in taught.belief.course[1:]]
    now = taught.setting.now / per if taught.lesson.number else None
    return fit_plot(taught.lesson.name, points, course, now)


def _scaled(held: Held, per: int) -> Held:
    return Held(held.value / per, held.sd / per, held.low / per, held.high / per)


def _kept(record: Record) -> str:
    if not record.of:
        return Sentence("No plan has been held against a finished boil yet.")
    share = decimal(round(record.kept / record.of * 1000), 10, 0)
    return Sentence(
        "{kept} of {of} figures came within their sheet's stated range: "
        "{share} %. {wanted:.0f} % should.",
        kept=record.kept,
        of=record.of,
        share=share,
        wanted=SURE * 100,
    )


def _trend(record: Record) -> str:
    if record.trend is None:
        return Sentence("Too few boils to say whether it gets better.")
    change, sd = record.trend
    if abs(change) < 2 * sd:
        return Sentence("The newest ten boils were foretold about as well as those before.")
    if change < 0:
        return Sentence("The newest ten boils were foretold better than those before.")
    return Sentence("The newest ten boils were foretold worse than those before.")


def _score(score: Score) -> ScoreLine:
    low, high = (say(score.foretold + s * score.half, score.unit) for s in (-1, 1))
    kept = abs(score.error) <= 1
    return ScoreLine(
        Sentence(score.says),
        Sentence("{low} to {high}", low=low, high=high),
        say(score.came, score.unit),
        kept,
    )
