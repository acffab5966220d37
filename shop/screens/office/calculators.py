"""The bench calculator as a page: one form for each calculation, and a plot where looking helps."""

from dataclasses import dataclass

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from shop.craft.calculation import name_in_words
from shop.craft.errors import CraftError
from shop.craft.reckon import CALCULATIONS, Answer, Calculation, Option, reckon
from shop.screens.office.access import at_desk
from shop.screens.office.plots import Plot, boiling_plot, cooling_plot
from shop.sentences import Sentence, reason
from shop.store.shapes import ShopInfo

# What stands in a form that nobody has filled in yet.
EXAMPLES = {
    "boil": {"solids": "97 %", "altitude": "0 m"},
    "moisture": {"temperature": "150 °C"},
    "charge": {"cooked": "11.0 kg", "moisture": "3 %"},
    "thermometer": {
        "ice": "0 °C",
        "boil": "99.1 °C",
        "water-boils-at": "100 °C",
        "wanted": "149 °C",
    },
    "mark": {"sea-level": "149 °C", "altitude": "0 m"},
    "fire": {"dry": "10.8 kg", "water": "3.6 kg", "to": "149 °C", "power": "12 kW"},
    "peak": {"temperature": "153 °C", "dry": "10.8 kg"},
    "keep": {"moisture": "3 %", "humidity": "45 %"},
    "grain": {"solids": "97 %", "temperature": "90 °C"},
    "invert": {"temperature": "110 °C", "time": "10 min", "ph": "4"},
    "flavour": {"on-table": "11 kg", "share": "0.25 %", "carrier": "ethanol"},
    "iron": {"heat": "1.23 MJ", "iron": "300 kg", "table": "31 °C"},
    "pull": {"end": "77 °C", "time": "7 min", "mass": "7.3 kg"},
    "skin": {"skin": "72 °C", "core": "80 °C"},
    "roll": {"rods": "37", "interval": "48 s", "hands": "3"},
    "dye": {"portion": "1.2 kg", "dose": "150 mg/kg", "purity": "87 %"},
    "sheet-cooling": {"thickness": "12 mm", "after": "300 s"},
    "glass": {"moisture": "3 %", "temperature": "80 °C"},
    "air": {"clear": "1450 kg/m^3", "pulled": "1250 kg/m^3"},
    "section": {"parts": "6.0kg@1450kg/m^3,5.0kg@1250kg/m^3", "log-diameter": "150 mm"},
    "draw": {
        "log-diameter": "150 mm",
        "log-length": "480 mm",
        "rod-diameter": "14 mm",
        "feature": "6 mm",
    },
    "cut": {
        "rod-length": "50 m",
        "rod-diameter": "14 mm",
        "density": "1296 kg/m^3",
        "piece-length": "12 mm",
    },
    "pack": {"nominal": "100 g", "piece": "2.4 g", "jurisdiction": "GB"},
}


@dataclass(frozen=True, slots=True)
class Field:
    """One option as a form shows it."""

    name: str
    label: str
    value: str
    hint: str
    kind: str
    needed: bool
    choices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """One result in words."""

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class CalculatorPage:
    """The calculation in hand, its form, and what came out or what was wrong."""

    name: str
    says: str
    fields: list[Field]
    lines: list[Line]
    sources: list[str]
    notes: list[str]
    wrong: str
    plot: Plot | None


def label_of(option: Option) -> Sentence:
    """What an option is called over its field."""
    return Sentence("DE") if option.name == "de" else name_in_words(option.name)


def named(result: str) -> Sentence:
    """What a result is called before its value."""
    return name_in_words(result)


def _field(option: Option, given: dict[str, str]) -> Field:
    label = label_of(option)
    value = given.get(option.name, "")
    hint = Sentence(option.says)
    if option.default:
        hint = Sentence("{says}; {value} if left empty", says=hint, value=option.default)
    return Field(option.name, label, value, hint, option.kind, option.needed, option.choices)


def _lines(answer: Answer) -> list[Line]:
    """Names as words; a value never parts from its unit at the end of a line."""
    return [
        Line(named(name), result.in_words().replace(" ", "\u00a0", 1))
        for name, result in answer.results.items()
    ]


def _page(calculation: Calculation, given: dict[str, str]) -> CalculatorPage:
    fields = [_field(option, given) for option in calculation.options]
    answer, wrong, plot = Answer({}, []), "", None
    try:
        answer = reckon(calculation.name, given)
        plot = _plot(calculation.name, given)
    except CraftError as refused:
        wrong = reason(refused)
    return CalculatorPage(
        calculation.name,
        calculation.says,
        fields,
        _lines(answer),
        answer.sources,
        answer.notes,
        wrong,
        plot,
    )


def _plot(name: str, given: dict[str, str]) -> Plot | None:
    if name == "boil":
        return boiling_plot(given)
    return cooling_plot(given) if name == "sheet-cooling" else None


@at_desk
def calculator(request: HttpRequest, shop: ShopInfo, name: str = "boil") -> HttpResponse:
    """The form, filled in by the address, and its answer."""
    if name not in CALCULATIONS:
        raise Http404(f"{name!r} is not reckoned here.")
    known = {option.name for option in CALCULATIONS[name].options}
    typed = {key: str(text).strip() for key, text in request.GET.dict().items() if key in known}
    given = {key: text for key, text in typed.items() if text} if request.GET else EXAMPLES[name]
    page = _page(CALCULATIONS[name], given)
    context = {"page": page, "names": list(CALCULATIONS.values()), "shop_name": shop.name}
    return render(request, "office/reckon.html", context, status=400 if page.wrong else 200)
