"""Planning a boil: from an order to a sheet that can be looked over, frozen and opened."""

from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_POST

from shop.craft.errors import CraftError
from shop.plan.crew import who_may
from shop.plan.errors import PlanError
from shop.plan.numbers import shop_numbers
from shop.plan.order import Day, Order, Person, lot_of
from shop.plan.picture import Picture, Sugar, parse_parts
from shop.plan.sheet import build_sheet
from shop.plan.sheet_picture import picture_of
from shop.screens.office.access import at_desk, neighbours, the_batch, the_zone
from shop.screens.office.again_page import ChangedPage, changed_page
from shop.screens.office.desk import may_not, signature
from shop.screens.office.order_plan import plan_of, tie
from shop.screens.office.picture_asks import how_of, opened
from shop.screens.office.picture_hand import HAND, CouldNot
from shop.screens.office.sheet_page import sheet_page
from shop.screens.office.wording import phase_word
from shop.sentences import reason
from shop.store import batches as store_batches
from shop.store import drawings, read, skills, stock, ways
from shop.store import numbers as store_numbers
from shop.store import people as store_people
from shop.store.access import access_batch
from shop.store.errors import NotHere, StoreError
from shop.store.shapes import DrawingInfo, ShopInfo

LETTERS = "ABCDEFGH"
PATTERNS = ("stripe", "dot", "check", "wave")
NEWEST = 12
TYPED = ""
# Between a shop's short name and a batch; neither can hold it. Before the id of a picture.
AT = ":"
MOST_DRAWN = 60


class PlanForm(forms.Form):
    """An order as a maker would say it; quantities in the units beside them."""

    title = forms.CharField(max_length=80, help_text=_("Picture and flavour, in words."))
    number = forms.CharField(max_length=20, label=_("Order number"))
    customer = forms.CharField(max_length=60)
    flavour = forms.CharField(max_length=60)
    sour = forms.BooleanField(required=False)
    country = forms.ChoiceField(choices=[(c, c) for c in ("GB", "NI", "EU", "US")])
    due = forms.DateField(widget=forms.DateInput(attrs={"type": "date"}))
    packs = forms.IntegerField(min_value=1, max_value=2000, label=_("Bags"))
    fill = forms.FloatField(min_value=10, max_value=2000, label=_("In a bag, g"))
    rod = forms.FloatField(min_value=8, max_value=40, label=_("Rod, mm"))
    piece = forms.FloatField(min_value=3, max_value=300, label=_("Piece, mm"))
    log = forms.FloatField(min_value=3, max_value=25, label=_("Log, kg"), initial=11)
    day = forms.DateField(widget=forms.DateInput(attrs={"type": "date"}), label=_("Make day"))
    light_up = forms.TimeField(
        widget=forms.TimeInput(attrs={"type": "time"}), label=_("Lighting at")
    )
    shift_end = forms.TimeField(
        widget=forms.TimeInput(attrs={"type": "time"}), label=_("The shift ends at")
    )
    letter = forms.ChoiceField(choices=[(x, x) for x in LETTERS], label=_("Boil's letter"))
    pattern = forms.ChoiceField(choices=[(x, x) for x in PATTERNS], label=_("Boil's pattern"))
    lead = forms.ChoiceField(label=_("Lead"))
    crew = forms.MultipleChoiceField(widget=forms.CheckboxSelectMultiple)
    picture = forms.ChoiceField(
        required=False, help_text=_("One of Pictures, as on an earlier sheet, or typed below.")
    )
    parts = forms.CharField(
        required=False,
        max_length=8000,
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text=_(
            "One a line: part; sugar; clear, light or white; #swatch; mm² in the log; "
            "narrowest mm; block. The blocks band and jacket come last by themselves."
        ),
    )
    reading_end = forms.CharField(max_length=80, initial="The end with the dot in the casing")

    def __init__(self, data: Any, *, shop: ShopInfo) -> None:
        super().__init__(data)
        crew = store_people.people(shop.id, active_only=True)
        leads = [p for p in crew if p.role in who_may("have_boil")] or crew
        fields: dict[str, Any] = self.fields
        fields["lead"].choices = [(p.key, p.name) for p in leads]
        fields["crew"].choices = [(p.key, p.name) for p in crew]

    def offer_pictures(self, shop: ShopInfo, others: list[ShopInfo]) -> None:
        """Pictures, those of earlier sheets, and those of the neighbours' sheets."""
        earlier = store_batches.batches(shop.id, most=NEWEST)
        sheets = [(b.key, f"{b.title}, {b.lot}") for b in earlier]
        groups = [(other.name, _pictures_of(other)) for other in others]
        drawn = [(f"{AT}{d.key}", d.title) for d in drawings.drawings(shop.id, most=MOST_DRAWN)]
        fields: dict[str, Any] = self.fields
        fields["picture"].choices = [
            (TYPED, _("Typed below")),
            (_("Pictures"), drawn),
            *sheets,
            *groups,
        ]

    def of_picture(self, drawn: DrawingInfo) -> None:
        """Begin with a picture, and with the order it was worked out for."""
        order = drawn.order
        self.initial = {
            **{"picture": f"{AT}{drawn.key}", "title": drawn.title},
            **{"rod": order["rod_um"] / 1000, "log": order["log_mg"] / 1e6},
            **{"packs": order["packs"], "fill": order["fill_mg"] / 1000},
        }

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not cleaned.get("picture") and not cleaned.get("parts", "").strip():
            self.add_error("parts", _("Choose an earlier picture or type the parts, one a line."))
        return cleaned


def _pictures_of(other: ShopInfo) -> list[tuple[str, str]]:
    """Another shop's newest pictures, each named by shop and batch."""
    newest = store_batches.batches(other.id, most=NEWEST)
    return [(f"{other.slug}{AT}{b.key}", f"{b.title}, {b.lot}") for b in newest]


def _order(c: dict[str, Any]) -> Order:
    return Order(
        number=c["number"],
        customer=c["customer"],
        title=c["title"],
        flavour=c["flavour"],
        sour=c["sour"],
        country=c["country"],
        due=c["due"].isoformat(),
        packs=c["packs"],
        fill_mg=round(c["fill"] * 1000),
        rod_um=round(c["rod"] * 1000),
        piece_um=round(c["piece"] * 1000),
        log_mg=round(c["log"] * 1_000_000),
    )


def _day(c: dict[str, Any], shop: ShopInfo, zone: ZoneInfo) -> Day:
    crew, solo = store_people.people(shop.id, active_only=True), skills.all_solo(shop.id)
    alone = {p.key: None if solo is None else solo.get(p.key, ()) for p in crew}
    lot = lot_of(c["day"], c["letter"])
    return Day(
        batch=f"{lot}-{c['number']}".replace(" ", "-")[:60],
        lot=lot,
        letter=c["letter"],
        pattern=c["pattern"],
        day=c["day"].isoformat(),
        light_up=_moment(c["day"], c["light_up"], zone),
        shift_end=_moment(c["day"], c["shift_end"], zone),
        people=tuple(Person(p.key, p.name, p.role, alone[p.key]) for p in crew),
        crew=tuple(c["crew"]),
        lead=c["lead"],
    )


def _moment(day: date, clock: time, zone: ZoneInfo) -> int:
    return round(datetime.combine(day, clock, zone).timestamp() * 1000)


def _picture(
    c: dict[str, Any], shop: ShopInfo, others: list[ShopInfo]
) -> tuple[Picture, tuple[Sugar, ...]]:
    if c["picture"].startswith(AT):
        return _drawn(c, shop)
    if c["picture"]:
        slug, _, key = c["picture"].rpartition(AT)
        place = next((one for one in others if one.slug == slug), shop)
        return picture_of(read.batch_sheet(the_batch(place, key)))
    parts, blocks, sugars = parse_parts(c["parts"])
    own = {k: n.value for k, n in store_numbers.numbers(shop.id).items()}
    picture = Picture(
        title=c["title"],
        diameter_um=shop_numbers(own)["log_diameter"],
        parts=parts,
        mirror_symmetric=False,
        reading_end=c["reading_end"],
        blocks=blocks,
    )
    return picture, sugars


def _drawn(c: dict[str, Any], shop: ShopInfo) -> tuple[Picture, tuple[Sugar, ...]]:
    """A picture of Pictures, worked out for this order's log and rod."""
    one = opened(shop, c["picture"].removeprefix(AT))
    order = _order(c)
    how = how_of(shop, {"log_mg": order.log_mg, "rod_um": order.rod_um})
    found: tuple[Picture, tuple[Sugar, ...]] = HAND.now("for_sheet", one.kept, how, one.info.title)
    return found


def planned_sheet(
    cleaned: dict[str, Any], shop: ShopInfo, picture: Picture, sugars: tuple[Sugar, ...]
) -> dict[str, Any]:
    """The sheet of a form that was filled in, with the shop's numbers and way of now."""
    own = {k: n.value for k, n in store_numbers.numbers(shop.id).items()}
    site = {key: str(shop.settings.get(key, "")) for key in SITE}
    return build_sheet(
        order=_order(cleaned),
        picture=picture,
        day=_day(cleaned, shop, the_zone(shop)),
        numbers=shop_numbers(own),
        sugars=sugars,
        shop={**site, "name": shop.name},
        way=ways.way_for(shop.id),
        materials=stock.for_sheet(shop.id) or None,
    )


SITE = ("site_address", "emergency_number", "nearest_tap")


@at_desk
def plan(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """The form; POST keeps the sheet as planned, to be looked over.

    `?picture=:KEY` begins with one of Pictures, `?order=NUMBER` with what an order said. A boil is
    made again at an address of its own.
    """
    if earlier := request.GET.get("again", ""):
        return redirect("office-again", the_batch(shop, earlier).key)
    others = neighbours(request, shop)
    form = PlanForm(request.POST or None, shop=shop)
    form.offer_pictures(shop, others)
    if drawn := request.GET.get("picture", ""):
        form.of_picture(opened(shop, drawn.removeprefix(AT)).info)
    if number := request.GET.get("order", ""):
        form.initial = plan_of(shop, number)
    if request.method == "POST" and form.is_valid():
        try:
            cleaned = form.cleaned_data
            sheet = planned_sheet(cleaned, shop, *_picture(cleaned, shop, others))
            batch = store_batches.plan_batch(shop_id=shop.id, sheet=sheet)
            tie(request, shop, batch, sheet)
            return redirect("office-sheet", batch.key)
        except (PlanError, CraftError, StoreError, CouldNot) as wrong:
            form.add_error(None, reason(wrong))
    context = {"form": form, "shop_name": shop.name}
    return render(request, "office/plan.html", context)


@at_desk
def sheet(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """The sheet of a batch, with the verdict."""
    return _sheet(request, shop, key, "office/sheet.html")


@at_desk
def paper(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Two A5 sides for the wall."""
    return _sheet(request, shop, key, "office/paper.html")


def _sheet(request: HttpRequest, shop: ShopInfo, key: str, template: str) -> HttpResponse:
    batch = the_batch(shop, key)
    state = read.batch_state(batch)
    zone, frozen = the_zone(shop), read.batch_sheet(batch)
    page = sheet_page(frozen, phase=phase_word(state["phase"]), zone=zone, state=state)
    context = {"page": page, "changed": _changed(shop, frozen, zone), "shop_name": shop.name}
    return render(request, template, context)


def _changed(shop: ShopInfo, new: dict[str, Any], zone: ZoneInfo) -> ChangedPage | None:
    """Against the boil it was made again from; nothing where it was not, or that one is gone."""
    if not (before := new.get("again")):
        return None
    try:
        return changed_page(read.batch_sheet(access_batch(shop.id, before["batch"])), new, zone)
    except NotHere:
        return None


@at_desk
@require_POST
def open_boil(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Freeze the sheet and send the boil to the phones."""
    batch = the_batch(shop, key)
    if refusal := may_not(request, shop, "open_boil"):
        messages.error(request, refusal)
        return redirect("office-sheet", key)
    try:
        lead, desk = read.batch_sheet(batch)["lead"], signature(request, shop)
        store_batches.open_planned(
            shop_id=shop.id, batch=key, lead=lead, by=desk.by, signed=desk.signed
        )
    except StoreError as wrong:
        messages.error(request, reason(wrong))
        return redirect("office-sheet", key)
    messages.success(
        request,
        gettext("Boil %(letter)s is open: the phones have it within seconds.")
        % {"letter": batch.letter},
    )
    return redirect("office-today")
