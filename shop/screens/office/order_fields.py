"""The sorts of field an order's form is made of: each may be left open."""

import re
from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shop.plan.orders.said import WHOLE

OPEN = ("", _("not said yet"))
ROWS = (1, 2, 3)
KINDS = (_("First kind: how many"), _("Second kind: how many"), _("Third kind: how many"))
MM = 1000
DAY = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})


def said_by(known: Mapping[str, str]) -> list[tuple[str, Any]]:
    """Keys with their words, said in whatever language the page is read in."""
    return [(key, _(words)) for key, words in known.items()]


def choice(label: Any, known: Any, **more: Any) -> forms.ChoiceField:
    """One of these, or not said yet."""
    return forms.ChoiceField(label=label, required=False, choices=[OPEN, *said_by(known)], **more)


def several(label: Any, known: Any, **more: Any) -> forms.MultipleChoiceField:
    """Any of these."""
    boxes = forms.CheckboxSelectMultiple
    choices = said_by(known)
    return forms.MultipleChoiceField(
        label=label, required=False, widget=boxes, choices=choices, **more
    )


class MoneyField(forms.CharField):
    """A plain sum such as `450` or `450.50`, kept in hundredths; -1 for none said."""

    def __init__(self, **more: Any) -> None:
        widget = forms.TextInput(attrs={"inputmode": "decimal"})
        super().__init__(required=False, max_length=12, widget=widget, **more)

    def clean(self, value: Any) -> Any:
        text = str(super().clean(value)).strip()
        if not text:
            return -1
        match = re.fullmatch(r"(\d{1,6})(?:[.,](\d{1,2}))?", text)
        if not match:
            raise forms.ValidationError(
                gettext("%(text)r is no sum; write 450 or 450.50, up to 999999.") % {"text": text}
            )
        return int(match[1]) * 100 + int((match[2] or "0").ljust(2, "0"))


def millimetres(label: Any, key: str, **more: Any) -> forms.FloatField:
    """A length of the said, from its own limits."""
    most = WHOLE[key][1] / MM
    return forms.FloatField(label=label, required=False, min_value=3, max_value=most, **more)


def pack_fields() -> dict[str, forms.Field]:
    """How many packs, what each holds, what it is packed in: of so many kinds."""
    found: dict[str, forms.Field] = {}
    for row, kind in zip(ROWS, KINDS, strict=True):
        found[f"count{row}"] = forms.IntegerField(
            label=kind, min_value=1, max_value=100_000, required=False
        )
        found[f"fill{row}"] = forms.FloatField(
            label=_("Each holds, g"), min_value=5, max_value=10_000, required=False
        )
        found[f"packaging{row}"] = forms.CharField(
            label=_("Packed in"), max_length=60, required=False
        )
    return found
