"""The intake of an order as a form: everything may be left open but a name and a title."""

from typing import Any

from django import forms
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from shop.plan.from_drawing import casing_sugar, shop_sugars
from shop.plan.orders.said import (
    ACCEPTS,
    APPROVES,
    COUNTRIES,
    FAILS,
    MOST_WORDS,
    NEEDS,
    PLACES,
    READS,
    YES_NO,
)
from shop.screens.office.order_fields import (
    DAY,
    MM,
    ROWS,
    MoneyField,
    choice,
    millimetres,
    pack_fields,
    several,
)
from shop.sentences import Sentence
from shop.store import drawings
from shop.store.order_shapes import OrderInfo
from shop.store.shapes import ShopInfo

MOST_PICTURES = 100
GRAM, KILO = 1000, 1_000_000
GROUPS = (
    (_("What it shows"), ("title", "art", "drawing")),
    (_("What it says"), ("text", "no_text", "language", "reads")),
    (_("Colours"), ("colours",)),
    (_("Taste"), ("flavour", "sour", "contains", "needs_asked", "needs", "needs_more")),
    (_("Size"), ("rod", "piece", "log")),
    (_("Packs"), tuple(f"{name}{row}" for row in ROWS for name in ("count", "fill", "packaging"))),
    (_("When and where"), ("due", "place", "ship_days", "country")),
    (_("What they agree to"), ("approves", "accepts", "reorder", "fails", "remake_by")),
    (_("Money"), ("price", "deposit")),
    (_("What else"), ("note",)),
)


class OrderForm(forms.Form):
    """What a customer wants, as far as they said it."""

    title = forms.CharField(max_length=120, help_text=_("Picture and flavour; nobody's name."))
    art = forms.CharField(
        label=_("The picture in words"),
        required=False,
        max_length=MOST_WORDS,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("What it shows, not who it is for: this stays when a customer is erased."),
    )
    drawing = forms.ChoiceField(label=_("The picture, of Pictures"), required=False)
    text = forms.CharField(
        label=_("The text, exactly"),
        required=False,
        max_length=120,
        strip=False,
        help_text=_("Every capital, accent and space as it shall be read."),
    )
    no_text = forms.BooleanField(label=_("There is no text on it"), required=False)
    language = forms.CharField(label=_("Its language"), required=False, max_length=40)
    reads = choice(_("It reads"), READS)
    colours = forms.MultipleChoiceField(
        label=_("By swatch, not by screen"), required=False, widget=forms.CheckboxSelectMultiple
    )
    flavour = forms.CharField(required=False, max_length=60)
    sour = choice(_("Sour"), YES_NO)
    contains = forms.CharField(
        label=_("Flavour and colours contain"),
        required=False,
        max_length=200,
        help_text=_("Allergens by their papers, a comma between; 'nothing' where there are none."),
    )
    needs_asked = choice(_("Asked for"), {"none": "nothing special", "some": "as ticked"})
    needs = several(_("It must be"), NEEDS)
    needs_more = forms.CharField(
        label=_("Or otherwise"),
        required=False,
        max_length=200,
        help_text=_("What the sweets must be, never who needs it."),
    )
    rod = millimetres(_("Rod, mm"), "rod_um")
    piece = millimetres(_("Piece, mm"), "piece_um")
    log = forms.FloatField(label=_("Our log, kg"), min_value=3, max_value=25, initial=11)
    due = forms.DateField(label=_("Must be there on"), required=False, widget=DAY)
    place = choice(_("It goes"), PLACES)
    ship_days = forms.IntegerField(
        label=_("Days on the way"),
        required=False,
        min_value=0,
        max_value=30,
        help_text=_("Empty: as the shop's setting."),
    )
    country = choice(
        _("Sold in"), COUNTRIES, help_text=_("UK is Great Britain or Northern Ireland.")
    )
    approves = choice(_("Who says yes to the proof"), APPROVES)
    accepts = several(_("They take it that"), ACCEPTS, help_text=_("In writing, all four."))
    reorder = choice(_("May be ordered again"), YES_NO)
    fails = choice(_("If the one try fails"), FAILS)
    remake_by = forms.DateField(label=_("Made again by"), required=False, widget=DAY)
    price = MoneyField(label=_("Price"))
    deposit = MoneyField(label=_("Deposit"), help_text=_("0 for none."))
    note = forms.CharField(
        label=_("What else was said"),
        required=False,
        max_length=MOST_WORDS,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("No names: they belong under 'Who it is for'."),
    )

    def __init__(self, data: Any, *, shop: ShopInfo, order: OrderInfo | None = None) -> None:
        super().__init__(data)
        self.fields.update(pack_fields())
        found = drawings.drawings(shop.id, most=MOST_PICTURES)
        drawn = [(d.key, d.title) for d in found]
        if order and order.drawing and order.drawing not in dict(drawn):
            drawn.append((order.drawing, str(_("As it is now"))))
        fields: dict[str, Any] = self.fields
        fields["drawing"].choices = [("", "none yet"), *drawn]
        self.sugars = [*shop_sugars(), casing_sugar()]
        fields["colours"].choices = [(s.id, Sentence(s.name)) for s in self.sugars]
        if order:
            self.initial = typed(order)

    def groups(self) -> list[tuple[Any, list[BoundField]]]:
        """The fields as the page lays them out."""
        return [(legend, [self[name] for name in names]) for legend, names in GROUPS]

    def swatches(self) -> list[tuple[Any, str]]:
        """Each box of the colours with its swatch."""
        boxes = self["colours"].subwidgets
        return [(box, sugar.swatch) for box, sugar in zip(boxes, self.sugars, strict=True)]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("no_text") and cleaned.get("text", "").strip():
            self.add_error("no_text", _("There is a text above: take one of the two away."))
        for row in ROWS:
            count, fill = cleaned.get(f"count{row}"), cleaned.get(f"fill{row}")
            if (count is None) != (fill is None):
                missing = f"fill{row}" if fill is None else f"count{row}"
                self.add_error(missing, _("How many, and how much in each: say both."))
        return cleaned

    def given(self) -> dict[str, Any]:
        """Title, due, drawing and said, as the store takes them."""
        c = self.cleaned_data
        due = c["due"].isoformat() if c["due"] else ""
        return {"title": c["title"], "due": due, "drawing": c["drawing"], "said": said_of(c)}


PLAIN = (
    *("art", "text", "language", "reads", "colours", "flavour", "sour", "contains"),
    *("needs_asked", "needs", "needs_more", "place", "country", "approves", "accepts"),
    *("reorder", "fails", "price", "deposit", "note"),
)


def said_of(c: dict[str, Any]) -> dict[str, Any]:
    """What was typed, in fixed units."""
    ship = c["ship_days"]
    return {
        **{name: c[name] for name in PLAIN},
        **{"no_text": int(c["no_text"]), "ship_days": -1 if ship is None else ship},
        **{"rod_um": round((c["rod"] or 0) * MM), "piece_um": round((c["piece"] or 0) * MM)},
        **{"log_mg": round(c["log"] * KILO), "packs": [p for row in ROWS if (p := _pack(c, row))]},
        "remake_by": c["remake_by"].isoformat() if c["remake_by"] else "",
    }


def _pack(c: dict[str, Any], row: int) -> dict[str, Any] | None:
    if c[f"count{row}"] is None:
        return None
    fill = round(c[f"fill{row}"] * GRAM)
    return {"count": c[f"count{row}"], "fill_mg": fill, "packaging": c[f"packaging{row}"]}


def typed(order: OrderInfo) -> dict[str, Any]:
    """An order as the form shows it."""
    said = order.said
    found = {name: said[name] for name in PLAIN}
    for key in ("price", "deposit"):
        found[key] = "" if said[key] < 0 else f"{said[key] // 100}.{said[key] % 100:02d}"
    for row, pack in enumerate(said["packs"][: len(ROWS)], 1):
        found |= {f"count{row}": pack["count"], f"packaging{row}": pack["packaging"]}
        found[f"fill{row}"] = f"{pack['fill_mg'] / GRAM:g}"
    lengths = {name: said[f"{name}_um"] / MM or None for name in ("rod", "piece")}
    return {
        **found,
        **{name: None if mm is None else f"{mm:g}" for name, mm in lengths.items()},
        **{"title": order.title, "drawing": order.drawing, "due": order.due or None},
        **{"no_text": bool(said["no_text"]), "log": f"{said['log_mg'] / KILO:g}"},
        "ship_days": None if said["ship_days"] < 0 else said["ship_days"],
        "remake_by": said["remake_by"] or None,
    }


class WhoForm(forms.Form):
    """Who a customer is and how to reach them."""

    name = forms.CharField(max_length=80, label=_("Name"))
    reach = forms.CharField(
        max_length=1000,
        required=False,
        label=_("How to reach them"),
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_(
            "E-mail, telephone, address, who says yes to the proof: one a line. Kept here "
            "only, and erased for good when they ask."
        ),
    )


class NumberForm(forms.Form):
    """What the shop calls the order."""

    number = forms.CharField(max_length=20, label=_("Order number"))
