"""The frozen sheet for reading: the verdict, the figures, the parts; and the paper card."""

from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.translation import gettext, gettext_noop

from shop.craft.size import interval_for_hands, rolling
from shop.record.fold import fold
from shop.screens.office.drawing import Face, faces
from shop.screens.office.sheet_words import told
from shop.screens.office.units import say, say_range
from shop.screens.office.wording import clock, named_day
from shop.sentences import Sentence

FIGURES = [
    (
        gettext_noop("To weigh"),
        ["sugar_planned", "syrup_planned", "water_planned", "acid_dose", "flavour_dose"],
    ),
    (
        gettext_noop("The mark today"),
        ["take_off_mark", "flame_off_mark", "water_boils", "moisture"],
    ),
    (
        gettext_noop("The log"),
        ["log_mass_forecast", "log_length_forecast", "log_diameter", "mean_density"],
    ),
    (
        gettext_noop("The rod"),
        ["length_ratio", "diameter_ratio", "rod_metres", "rods", "piece_mass", "cut_length"],
    ),
    (gettext_noop("The order"), ["pieces", "packs", "packs_spare"]),
    (
        gettext_noop("The clock"),
        ["latest_light_up", "planned_light_up", "zone", "open_window", "drawing"],
    ),
]


@dataclass(frozen=True, slots=True)
class SheetPage:
    """Everything a sheet's page or card prints."""

    batch: str
    title: str
    lot: str
    letter: str
    order: str
    lead: str
    crew: str
    phase: str
    verdict: str
    reasons: list[str]
    # Under the English of their titles, by which the card finds them.
    groups: list[tuple[str, list[tuple[str, str]]]]
    portions: list[tuple[str, str, str]]
    parts: list[tuple[str, str, str, str, str]]
    steps: list[tuple[str, list[tuple[str, str]]]]
    blocks: list[str]
    faces: list[Face]
    reading_end: str
    hazards: list[tuple[str, str]]
    numbers: list[tuple[str, str, str]]
    shop: dict[str, str]


def sheet_page(
    sheet: dict[str, Any], *, phase: str, zone: ZoneInfo, state: dict[str, Any] | None = None
) -> SheetPage:
    """The page of a sheet; with a state its figures are those after the readings so far."""
    figures = (state or fold(sheet, []))["figures"]
    units = {q["name"]: q for q in sheet["graph"]}

    def words(name: str) -> str:
        unit, value = units[name]["unit"], figures[name]
        return (
            clock(value, zone) if unit == "time" else say_range(value, units[name]["spread"], unit)
        )

    people = {p["id"]: p["name"] for p in sheet["people"]}
    verdict, reasons = can_we_make_it(sheet, figures, zone)
    return SheetPage(
        batch=sheet["batch"],
        title=sheet["title"],
        lot=sheet["lot"],
        letter=sheet["boil"]["letter"],
        order=_order(sheet["order"]),
        lead=people[sheet["lead"]],
        crew=", ".join(people[p] for p in sheet["crew"]),
        phase=phase,
        verdict=verdict,
        reasons=reasons,
        groups=[
            (title, [(told(sheet, units[n]["says"]), words(n)) for n in names if n in units])
            for title, names in FIGURES
        ],
        portions=[
            (told(sheet, p["name"]), p["swatch"], words(p["figure"])) for p in sheet["portions"]
        ],
        parts=[_part(part, doubt_of(sheet)) for part in sheet["parts"]],
        steps=[
            (told(sheet, s["name"]), [_step(sheet, sheet["steps"][k]) for k in s["steps"]])
            for s in sheet["stations"]
        ],
        blocks=[block["name"] for block in sheet["blocks"]],
        faces=faces(sheet["picture"]),
        reading_end=told(sheet, sheet["picture"]["reading_end"]),
        hazards=[(told(sheet, h["words"]), told(sheet, h["why"])) for h in sheet["hazards"]],
        numbers=[
            (Sentence(n["name"]), say(n["value"], n["unit"]), n["source"]) for n in sheet["numbers"]
        ],
        shop=sheet["shop"],
    )


def _order(order: dict[str, Any]) -> str:
    packs, fill = order["packs"], say(order["fill_mg"], "mg")
    rod, piece = say(order["rod_um"], "um"), say(order["piece_um"], "um")
    sour = gettext(", sour") if order["sour"] else ""
    due = gettext(", due %(day)s") % {"day": named_day(order["due"])} if order["due"] else ""
    return Sentence(
        "{number}, {customer}: {packs} bags of {fill}, rod {rod} cut {piece}, {flavour}{sour}, "
        "for {country}{due}",
        **{key: order[key] for key in ("number", "customer", "flavour", "country")},
        **{"packs": packs, "fill": fill, "rod": rod, "piece": piece, "sour": sour, "due": due},
    )


def can_we_make_it(
    sheet: dict[str, Any], figures: dict[str, int | None], zone: ZoneInfo
) -> tuple[str, list[str]]:
    """Yes, no or instead, with the reasons: bags, finest line, the shift's end."""
    reasons = []
    spare = figures.get("packs_spare")
    if spare is not None and spare < 0:
        reasons.append(
            gettext("%(n)s bags short of the order: a bigger log, or two.") % {"n": -spare}
        )
    thin = [part["name"] for part in sheet["parts"] if not part["fits"]]
    if thin:
        reasons.append(
            gettext("Too fine to lay or to read: %(parts)s. Thicken, merge or drop.")
            % {"parts": ", ".join(thin)}
        )
    latest, planned = figures.get("latest_light_up"), figures.get("planned_light_up")
    if latest is not None and planned is not None and planned > latest:
        reasons.append(
            gettext(
                "Lit at %(planned)s it crosses the shift's end: light by "
                "%(latest)s, or the lead stays until the last rod is cut."
            )
            % {"planned": clock(planned, zone), "latest": clock(latest, zone)}
        )
    if hands := _hands(sheet, figures.get("rods")):
        reasons.append(hands)
    if not reasons:
        over = Sentence("{n} bags over the order.", n=spare) if spare is not None else ""
        return Sentence("Yes"), [over]
    return (Sentence("No") if spare is not None and spare < 0 else Sentence("Instead")), reasons


def _hands(sheet: dict[str, Any], rods: int | None) -> str:
    """Whether the crew can draw, roll and cut at once, and what would do instead."""
    numbers = {n["id"]: n["value"] for n in sheet["numbers"]}
    if not rods or "rod_cool" not in numbers:
        return ""
    cool_min, per_hand = numbers["rod_cool"] / 60_000, numbers["rods_per_hand"]
    interval_s, here = numbers["rod_interval"] / 1000, len(sheet["crew"])
    crew = rolling(
        rods=rods,
        interval_s=interval_s,
        cool_min=cool_min,
        window_from_min=cool_min,
        rods_per_hand=per_hand,
    )
    if crew.hands <= here:
        return ""
    slow = interval_for_hands(max(here, 3), cool_min=cool_min, rods_per_hand=per_hand)
    return Sentence(
        "At {interval:.0f} s a rod {rods} rods turn at once and cutting begins before drawing "
        "ends: {hands} people, {here} are named. Draw a rod every {slow:.0f} s with {with_}, or "
        "keep rods warm in a rack.",
        interval=interval_s,
        rods=crew.rods_at_once,
        hands=crew.hands,
        here=here,
        slow=slow,
        with_=max(here, 3),
    )


def _part(part: dict[str, Any], doubt: float) -> tuple[str, str, str, str, str]:
    return (
        part["name"],
        say(part["area_um2"], "um2"),
        say(part["narrowest_um"], "um"),
        f"{part['narrowest_in_rod_um'] / 1000:.2f} mm",
        _sticks(part.get("open_ms"), doubt),
    )


# Of sheets frozen before it was a number of the shop's.
OPEN_DOUBT = 300_000


def doubt_of(sheet: dict[str, Any]) -> float:
    """How unsure its minutes of sticking are, as a share."""
    known = {n["id"]: n["value"] for n in sheet["numbers"]}
    return float(known.get("open_doubt", OPEN_DOUBT)) / 1_000_000


def _sticks(open_ms: int | None, doubt: float) -> str:
    """How long it'll stick, as unsure as the shop says; sheets from before have none."""
    if open_ms is None:
        return ""
    low, high = (round(open_ms * pace / 60_000) for pace in (1 - doubt, 1 + doubt))
    return Sentence("{low} to {high} min", low=low, high=high) if high > low else f"{high} min"


def _step(sheet: dict[str, Any], step: dict[str, Any]) -> tuple[str, str]:
    say, cue, caution = (told(sheet, step[key]) for key in ("say", "cue", "caution"))
    more = [cue, caution and gettext("Caution: %(words)s") % {"words": caution}]
    return say, " ".join(text for text in more if text)
