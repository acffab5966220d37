"""Forms of the store room: amounts as they are read on a scale, or counted."""

from typing import Any

from django import forms
from django.utils.text import slugify
from django.utils.translation import gettext, gettext_lazy

from shop.labels.places import every_allergen
from shop.screens.office.stock_words import KIND_WORDS, MOVES
from shop.store.stock import PIECES, MaterialInfo

DAY = {"type": "date"}
PPM, KILO = 1_000_000, 1_000_000
FUNCTIONS = ("", "acid", "colour", "glazing agent", "natural flavor", "artificial flavor")
TEXTS = ("label", "function", "number", "certified")
HINT = gettext_lazy("As its own papers say; empty where they say nothing.")


def amount_field(kind: str, label: str, **more: Any) -> forms.Field:
    """Kilograms, or pieces of what things are packed in."""
    if kind == PIECES:
        return forms.IntegerField(
            label=gettext("%(what)s, pieces") % {"what": label},
            min_value=0,
            max_value=10**7,
            **more,
        )
    return forms.DecimalField(
        label=gettext("%(what)s, kg") % {"what": label},
        min_value=0,
        max_value=100_000,
        decimal_places=6,
        **more,
    )


def as_stored(value: Any, kind: str) -> int:
    """Mg of so many kilograms, or the pieces themselves."""
    return int(value) if kind == PIECES else round(value * KILO)


def as_typed(stored: int, kind: str) -> Any:
    return stored if kind == PIECES else stored / KILO


class PapersForm(forms.Form):
    """What papers say of a material, or of one lot of it."""

    made_from = forms.CharField(
        max_length=40,
        required=False,
        label=gettext_lazy("Made from"),
        help_text=gettext_lazy("Of syrup and starch: wheat or maize."),
    )
    allergens = forms.MultipleChoiceField(
        required=False, widget=forms.CheckboxSelectMultiple, help_text=HINT
    )
    sulphites = forms.IntegerField(
        required=False, min_value=0, max_value=100_000, label=gettext_lazy("Sulphites, mg/kg")
    )
    strength = forms.DecimalField(
        required=False, min_value=0, max_value=100, decimal_places=4, label="Pure colour, %"
    )

    def __init__(self, *given: Any, facts: dict[str, Any] | None = None, **more: Any) -> None:
        known = facts or {}
        start = {
            "made_from": known.get("from", ""),
            "allergens": known.get("allergens", []),
            "sulphites": known.get("sulphites_ppm"),
            "strength": known["strength_ppm"] / 10_000 if "strength_ppm" in known else None,
        }
        more["initial"] = {**start, **more.get("initial", {})}
        super().__init__(*given, **more)
        self.known = known
        words = sorted({*every_allergen(), *known.get("allergens", [])})
        fields: dict[str, Any] = self.fields
        fields["allergens"].choices = [(word, word) for word in words]

    def facts(self) -> dict[str, Any]:
        """As docs/contracts.md names them; what is not said is not there."""
        c = self.cleaned_data
        found = {
            "from": c["made_from"].strip().lower(),
            "allergens": sorted(c["allergens"]),
            "sulphites_ppm": c["sulphites"],
            "strength_ppm": None if c["strength"] is None else round(c["strength"] * 10_000),
        }
        rest = {key: value for key, value in self.known.items() if key not in (*found, *TEXTS)}
        said = {key: value for key, value in found.items() if value not in ("", [], None)}
        return {**rest, **said}


class MaterialForm(PapersForm):
    """A material, and what a label says of it."""

    name = forms.CharField(
        max_length=60,
        label=gettext_lazy("Name"),
        help_text=gettext_lazy("As the phones name it at the scale."),
    )
    kind = forms.ChoiceField(choices=list(KIND_WORDS.items()), label=gettext_lazy("Kind"))
    label = forms.CharField(
        max_length=80,
        required=False,
        label=gettext_lazy("In the list of ingredients"),
        help_text=gettext_lazy("“sugar”."),
    )
    function = forms.ChoiceField(
        required=False, choices=[(word, word or "none") for word in FUNCTIONS]
    )
    number = forms.CharField(
        max_length=12, required=False, label=gettext_lazy("Its number"), help_text="“E 330”"
    )
    certified = forms.CharField(
        max_length=60, required=False, label=gettext_lazy("Its name in the US")
    )
    makes = forms.CharField(
        max_length=400,
        required=False,
        label=gettext_lazy("Colours it makes"),
        help_text="Of a colour: ids of the sugars, “yellow, jacket”; with a share: “brown 60 %”.",
    )
    field_order = ("name", "kind", "label", "function", "number", "certified", "makes")

    def __init__(self, *given: Any, known: MaterialInfo | None = None, **more: Any) -> None:
        facts = known.facts if known else {}
        start: dict[str, Any] = {"name": known.name, "kind": known.kind} if known else {}
        start |= {key: facts.get(key, "") for key in TEXTS}
        start["makes"] = said_makes(facts.get("makes", {}))
        super().__init__(*given, facts=facts, initial=start, **more)
        kind = known.kind if known else ""
        self.fields["low"] = amount_field(kind, gettext("Tell us below"), required=False)
        self.initial["low"] = as_typed(known.low, kind) if known and known.low else None

    def clean_makes(self) -> dict[str, int]:
        said = self.cleaned_data["makes"]
        return dict(_made(part) for part in said.split(",") if part.strip())

    def facts(self) -> dict[str, Any]:
        c = self.cleaned_data
        low = as_stored(c["low"], c["kind"]) if c.get("low") else 0
        found = {**{key: c[key].strip() for key in TEXTS}, "makes": c["makes"], "low": low}
        rest = {key: value for key, value in super().facts().items() if key not in found}
        return {**rest, **{key: value for key, value in found.items() if value}}


def said_makes(makes: dict[str, int]) -> str:
    """`yellow, brown 60 %`."""
    shares = {key: "" if ppm == PPM else f" {ppm / 10_000:g} %" for key, ppm in makes.items()}
    return ", ".join(f"{key}{share}" for key, share in shares.items())


def _made(part: str) -> tuple[str, int]:
    words = part.replace("%", " ").split()
    share = words[1] if len(words) > 1 else "100"
    try:
        ppm = round(float(share) * 10_000)
    except ValueError as bad:
        raise forms.ValidationError(f"“{part.strip()}”: a share is a number of per cent.") from bad
    if not (len(words) <= 2 and slugify(words[0]) == words[0] and 0 < ppm <= PPM):
        raise forms.ValidationError(f"“{part.strip()}” is no id of a sugar with 1 to 100 %.")
    return words[0], ppm


class CameForm(PapersForm):
    """A lot as it came in."""

    mark = forms.CharField(
        max_length=60,
        label=gettext_lazy("Mark"),
        help_text=gettext_lazy("The supplier's own, on the sack."),
    )
    supplier = forms.CharField(max_length=80, label=gettext_lazy("Supplier"))
    received = forms.DateField(widget=forms.DateInput(attrs=DAY), label=gettext_lazy("It came on"))
    best_before = forms.DateField(
        required=False, widget=forms.DateInput(attrs=DAY), label=gettext_lazy("Best before")
    )
    key = forms.CharField(max_length=24, widget=forms.HiddenInput)
    field_order = ("mark", "supplier", "received", "best_before", "amount")

    def __init__(self, *given: Any, kind: str, **more: Any) -> None:
        super().__init__(*given, **more)
        self.fields["amount"] = amount_field(kind, gettext("How much"))
        self.order_fields(self.field_order)


class LotForm(forms.Form):
    """What is done with a lot: counted, out, held, released, used up."""

    act = forms.ChoiceField(choices=[(act, act) for act in (*MOVES, "use-up")])
    words = forms.CharField(max_length=180, required=False, label=gettext_lazy("Why"))
    move = forms.CharField(max_length=24, required=False, widget=forms.HiddenInput)

    def __init__(self, *given: Any, kind: str, **more: Any) -> None:
        super().__init__(*given, **more)
        self.fields["amount"] = amount_field(kind, gettext("How much"), required=False)
