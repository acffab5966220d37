"""Making a boil again: as it was made, for other bags, by the numbers and the way of now."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.craft.errors import CraftError
from shop.plan.again import Bags, as_built, log_for, planned_figures
from shop.plan.errors import PlanError
from shop.plan.numbers import shop_numbers
from shop.plan.order import lot_of
from shop.plan.picture import Picture, Sugar
from shop.plan.sheet_picture import picture_of
from shop.record.as_made import AsMade, as_made
from shop.screens.office.access import at_desk, the_batch, the_zone
from shop.screens.office.again_page import again_page
from shop.screens.office.order_plan import plan_of, tie
from shop.screens.office.plan import LETTERS, PATTERNS, PlanForm, planned_sheet
from shop.screens.office.wording import clock
from shop.sentences import reason
from shop.store import batches as store_batches
from shop.store import numbers as store_numbers
from shop.store import read
from shop.store.boils import ordered_by
from shop.store.errors import StoreError
from shop.store.shapes import BatchInfo, ShopInfo

# Sheets of before the country was one of those with rules of its own.
OLD_COUNTRIES = {"UK": "GB"}
AFTER_LIGHTING = ("zone", "handover", "spread")
AS_DRAWN = ("picture", "parts", "reading_end")


class AgainForm(PlanForm):
    """The order of before; the log follows the bags, the picture is the boil's own."""

    log = forms.FloatField(
        min_value=3,
        max_value=25,
        required=False,
        label=_("Log, kg"),
        help_text=_(
            "Left empty it is as much as the bags take, with the share to spare of before."
        ),
    )
    as_made = forms.BooleanField(
        required=False,
        initial=True,
        label=_("As it was made"),
        help_text=_(
            "Blocks in the order they were laid up, sugars as weighed where that went off. "
            "Without it: as its sheet was drawn."
        ),
    )

    def __init__(self, data: Any, *, shop: ShopInfo) -> None:
        super().__init__(data, shop=shop)
        for name in AS_DRAWN:
            del self.fields[name]

    def clean(self) -> dict[str, Any]:
        return forms.Form.clean(self) or {}


@dataclass(frozen=True, slots=True)
class Before:
    """The boil that is made again."""

    batch: BatchInfo
    sheet: dict[str, Any]
    figures: dict[str, int | None]
    made: AsMade

    def picture(self, *, built: bool) -> tuple[Picture, tuple[Sugar, ...]]:
        """Its picture and sugars, as built or as its sheet was drawn."""
        picture, sugars = picture_of(self.sheet)
        if built:
            picture = as_built(picture, sugars, self.made.blocks, self.made.ratios)
        return picture, sugars


def _before(shop: ShopInfo, key: str) -> Before:
    batch = the_batch(shop, key)
    sheet = read.batch_sheet(batch)
    figures = planned_figures(sheet)
    return Before(batch, sheet, figures, as_made(sheet, read.batch_state(batch), figures))


@at_desk
def again(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The boil as it was made beside a plan filled in from it; POST keeps the new sheet.

    `?packs=60` begins with so many bags, `?order=NUMBER` with what that order said.
    """
    before = _before(shop, key)
    form = AgainForm(request.POST or None, shop=shop)
    form.initial = _filled_in(before, form, shop, request.GET.get("packs", ""))
    if number := request.GET.get("order", ""):
        ordered = plan_of(shop, number)
        form.initial |= {name: ordered[name] for name in ordered.keys() - {"log", "picture"}}
    if request.method == "POST" and form.is_valid():
        try:
            sheet = _sheet(form.cleaned_data, before, shop)
            batch = store_batches.plan_batch(shop_id=shop.id, sheet=sheet)
            tie(request, shop, batch, sheet)
            return redirect("office-sheet", batch.key)
        except (PlanError, CraftError, StoreError) as wrong:
            form.add_error(None, reason(wrong))
    page = again_page(before.sheet, before.made, the_zone(shop))
    orders = ordered_by(shop.id, [before.batch.id]).get(before.batch.id, [])
    context = {"form": form, "page": page, "orders": orders, "shop_name": shop.name}
    return render(request, "office/again.html", context)


def _sheet(cleaned: dict[str, Any], before: Before, shop: ShopInfo) -> dict[str, Any]:
    """The new sheet, which names the boil it was made from."""
    own = {k: n.value for k, n in store_numbers.numbers(shop.id).items()}
    bags = Bags(cleaned["packs"], round(cleaned["fill"] * 1000))
    log = cleaned["log"] or log_for(before.sheet, bags, shop_numbers(own)) / 1e6
    picture, sugars = before.picture(built=cleaned["as_made"])
    sheet = planned_sheet({**cleaned, "log": log}, shop, picture, sugars)
    return {**sheet, "again": {"batch": before.batch.key, "lot": before.batch.lot}}


def _filled_in(before: Before, form: AgainForm, shop: ShopInfo, packs: str) -> dict[str, Any]:
    """The form as it begins: the order of before, tomorrow, the hands that are still here."""
    sheet, order, zone = before.sheet, before.sheet["order"], the_zone(shop)
    day = timezone.now().astimezone(zone).date() + timedelta(days=1)
    letter, pattern = _free(shop, day)
    fields: dict[str, Any] = form.fields
    here = {key for key, _ in fields["crew"].choices}
    return {
        **{name: order[name] for name in ("number", "customer", "flavour")},
        **{"title": sheet["title"], "sour": bool(order["sour"])},
        "country": OLD_COUNTRIES.get(order["country"], order["country"]),
        "due": _due(sheet, day).isoformat(),
        "packs": int(packs) if packs.isdecimal() and len(packs) < 5 else order["packs"],
        **{"fill": order["fill_mg"] / 1000, "rod": order["rod_um"] / 1000},
        **{
            "piece": order["piece_um"] / 1000,
            "day": day.isoformat(),
            "letter": letter,
            "pattern": pattern,
        },
        "light_up": _clock(before.figures.get("planned_light_up"), zone),
        "shift_end": _clock(_shift_end(before), zone),
        **{"lead": sheet["lead"], "crew": [key for key in sheet["crew"] if key in here]},
        "as_made": True,
    }


def _due(sheet: dict[str, Any], day: date) -> date:
    """As long after the make day as it was then; on the day itself where that can't be told."""
    try:
        was = date.fromisoformat(sheet["order"]["due"]) - date.fromisoformat(sheet["day"])
    except ValueError:
        return day
    return day + max(was, timedelta(0))


def _shift_end(before: Before) -> int | None:
    """The latest light-up with all that the sheet's numbers put between it and the shift's end."""
    latest = before.figures.get("latest_light_up")
    numbers = {n["id"]: n["value"] for n in before.sheet["numbers"]}
    return None if latest is None else latest + sum(numbers[key] for key in AFTER_LIGHTING)


def _clock(moment: int | None, zone: ZoneInfo) -> str:
    return "" if moment is None else clock(moment, zone)


def _free(shop: ShopInfo, day: date) -> tuple[str, str]:
    """A letter that no open boil and no boil of that day has, and a pattern to go with it."""
    open_now = store_batches.batches(shop.id, "open")
    lots = store_batches.lots_among(shop.id, [lot_of(day, letter) for letter in LETTERS])
    taken = {boil.letter for boil in open_now}
    free = [x for x in LETTERS if x not in taken and lot_of(day, x) not in lots]
    seen = {boil.pattern for boil in open_now}
    return (free or list(LETTERS))[0], next((p for p in PATTERNS if p not in seen), PATTERNS[0])
