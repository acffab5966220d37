"""The shop's own numbers: shown in people's units, kept in fixed ones."""

import re
from dataclasses import dataclass

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from shop.plan.numbers import Number, defaults
from shop.plan.whole import half_up
from shop.record.words import decimal
from shop.screens.office.access import at_desk, neighbours
from shop.store import numbers as store_numbers
from shop.store.errors import OutOfRange
from shop.store.shapes import NumberInfo, ShopInfo

# Fixed unit → what people read, how many fixed units one of it is, and its decimals.
SHOWN = {
    "m°C": ("°C", 1000, 1),
    "mK": ("K", 1000, 1),
    "ppm": ("%", 10_000, 2),
    "um": ("mm", 1000, 1),
    "mg": ("g", 1000, 1),
    "ms": ("min", 60_000, 1),
    "g/m3": ("kg/m³", 1000, 0),
    "Pa": ("hPa", 100, 1),
    "money": ("", 100, 2),
    "1": ("", 1, 0),
}


@dataclass(frozen=True, slots=True)
class NumberLine:
    """A number in people's units."""

    id: str
    name: str
    value: str
    unit: str
    low: str
    high: str
    source: str


@dataclass(frozen=True, slots=True)
class OtherShop:
    """Another shop of the company: what it does otherwise, and whether it is followed."""

    slug: str
    name: str
    followed: bool
    differs: list[NumberLine]


@dataclass(frozen=True, slots=True)
class NumbersPage:
    """Every number, what was wrong with the last one, and the company's other shops."""

    numbers: list[NumberLine]
    wrong: str
    others: list[OtherShop]


def in_words(value: int, unit: str) -> str:
    """A fixed value in people's unit, without the unit."""
    _, per, places = SHOWN[unit]
    return decimal(value, per, places).replace("−", "-")


def fixed_from(text: str, number: Number) -> int:
    """The typed value in fixed units. Raises OutOfRange, naming what was typed and the limits."""
    _, per, _ = SHOWN[number.unit]
    limits = (in_words(number.low, number.unit), in_words(number.high, number.unit))
    match = re.fullmatch(r"(\d{1,9})(?:[.,](\d{1,6}))?", text.strip())
    if not match:
        raise OutOfRange(number.name, text.strip()[:20], *limits)
    whole, part = match[1], match[2] or ""
    value = half_up(int(whole + part) * per, 10 ** len(part))
    if not number.low <= value <= number.high:
        raise OutOfRange(number.name, text.strip(), *limits)
    return value


def number_line(number: Number, own: NumberInfo | None) -> NumberLine:
    """A number as it stands: the shop's own, else as the program brings it."""
    value = own.value if own else number.value
    value_, low, high = (in_words(v, number.unit) for v in (value, number.low, number.high))
    source = own.source if own else f"{number.source} ({number.origin})"
    unit = SHOWN[number.unit][0]
    return NumberLine(number.id, number.name, value_, unit, low, high, source)


@at_desk
def numbers(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The numbers; POST sets one of them from the next sheet on."""
    wrong = _set(request, shop.id) if request.method == "POST" else ""
    if request.method == "POST" and not wrong:
        return redirect(f"{request.path}#{request.POST.get('id', '')}")
    own = store_numbers.numbers(shop.id)
    lines = [number_line(number, own.get(key)) for key, number in defaults().items()]
    page = NumbersPage(lines, wrong, _others(request, shop))
    context = {"page": page, "shop_name": shop.name}
    return render(request, "office/numbers.html", context, status=400 if wrong else 200)


@at_desk
@require_POST
def numbers_of(request: HttpRequest, shop: ShopInfo, other: str) -> HttpResponse:
    """Another shop's numbers: copied where chosen, or followed from now on."""
    theirs = next((one for one in neighbours(request, shop) if one.slug == other), None)
    if theirs is None:
        raise Http404(f"There is no other shop {other!r} here.")
    if act := request.POST.get("follow"):
        slug, by = theirs.slug if act == "yes" else "", request.user.get_username()
        store_numbers.follow(shop_id=shop.id, slug=slug, by=by)
    there = store_numbers.numbers(theirs.id)
    for key in request.POST.getlist("copy"):
        if key in there and key in defaults():
            _write(request, shop.id, defaults()[key], there[key].value, f"As in {theirs.name}")
    messages.success(request, f"As in {theirs.name}, from the next sheet on.")
    return redirect("office-numbers")


def _others(request: HttpRequest, shop: ShopInfo) -> list[OtherShop]:
    here, followed = store_numbers.numbers(shop.id), store_numbers.followed_by(shop.id)
    return [
        OtherShop(one.slug, one.name, one.slug == followed, _differing(here, one.id))
        for one in neighbours(request, shop)
    ]


def _differing(here: dict[str, NumberInfo], there: int) -> list[NumberLine]:
    theirs = store_numbers.numbers(there)
    return [
        number_line(number, theirs[key])
        for key, number in defaults().items()
        if key in theirs and _value(here, number) != theirs[key].value
    ]


def _value(own: dict[str, NumberInfo], number: Number) -> int:
    return own[number.id].value if number.id in own else number.value


def _set(request: HttpRequest, shop_id: int) -> str:
    """Sets the posted number; the sentence that says what was wrong, or nothing."""
    number = defaults().get(request.POST.get("id", ""))
    if number is None:
        return "There is no such number."
    try:
        value = fixed_from(request.POST.get("value", ""), number)
        _write(request, shop_id, number, value, "Set by this shop")
    except OutOfRange as outside:
        return str(outside)
    messages.success(request, f"{number.name} is set, from the next sheet on.")
    return ""


def _write(request: HttpRequest, shop_id: int, number: Number, value: int, source: str) -> None:
    store_numbers.change_number(
        shop_id=shop_id,
        key=number.id,
        value=value,
        unit=number.unit,
        source=source,
        low=number.low,
        high=number.high,
        by=request.user.get_username(),
    )
