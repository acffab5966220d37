"""Forms of a picture: how it comes in, what it is worked out for, how it is changed."""

import re
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from shop.plan.from_drawing import shop_sugars
from shop.screens.office.picture_asks import MOST_HANDS, Plain
from shop.sentences import Sentence

# A bench grid is from so many to so many cells across, each a letter: a is the first sugar.
LEAST_CELLS, MOST_CELLS = 8, 48
LETTERS = "abcdefghijklmnopqrstuvwxyz"
MOST_BYTES = 20_000_000
KINDS = "image/png,image/jpeg"


def sugar_choices(*before: tuple[str, str]) -> list[tuple[str, str]]:
    """The shop's sugars by id and name."""
    return [*before, *((sugar.id, Sentence(sugar.name)) for sugar in shop_sugars())]


class SizeForm(forms.Form):
    """What every picture says first."""

    title = forms.CharField(max_length=80)
    log = forms.FloatField(min_value=3, max_value=25, initial=11, label=gettext_lazy("Log, kg"))
    rod = forms.FloatField(min_value=8, max_value=40, initial=14, label=gettext_lazy("Rod, mm"))

    def order(self, before: Plain) -> Plain:
        """The order with this log and rod."""
        given = self.cleaned_data
        log, rod = round(given["log"] * 1e6), round(given["rod"] * 1000)
        return {**before, "log_mg": log, "rod_um": rod}


class AgainForm(forms.Form):
    """How a file becomes the shop's colours."""

    colours = forms.IntegerField(
        min_value=1, max_value=11, initial=4, label=gettext_lazy("Colours beside white, at most")
    )
    background = forms.ChoiceField(
        required=False,
        label=gettext_lazy("It lies in"),
        help_text=gettext_lazy("What surrounds the picture."),
    )
    see_through = forms.ChoiceField(required=False, label=gettext_lazy("Transparent places become"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        fields: dict[str, Any] = self.fields
        fields["background"].choices = sugar_choices(("", "the colour along its edge"))
        fields["see_through"].choices = sugar_choices(("", "White"))


class FileForm(AgainForm, SizeForm):
    """A PNG or JPEG, what it is worked out for, and how it becomes the shop's colours."""

    field_order = ("title", "log", "rod", "file", "colours", "background", "see_through")
    file = forms.FileField(
        label=gettext_lazy("PNG or JPEG"),
        widget=forms.ClearableFileInput(attrs={"accept": KINDS}),
        help_text=gettext_lazy("Up to 20 MB. Few plain colours come out best."),
    )

    def clean_file(self) -> bytes:
        given = self.cleaned_data["file"]
        if given.size > MOST_BYTES:
            size = f"The file is {given.size / 1e6:.1f} MB; at most 20 MB"
            raise forms.ValidationError(f"{size}: save it smaller.")
        return bytes(given.read())


class TextForm(SizeForm):
    """Capitals laid from strips."""

    text = forms.CharField(
        max_length=40, help_text=gettext_lazy("Capitals A to Z, spelt as it shall be read.")
    )
    ring = forms.BooleanField(required=False, label=gettext_lazy("Round the edge"))
    ink = forms.ChoiceField(label=gettext_lazy("Letters of"), initial="red")
    ground = forms.ChoiceField(label=gettext_lazy("They lie in"), initial="white")
    height = forms.FloatField(
        min_value=20, max_value=80, initial=30, label=gettext_lazy("Letters at the log, mm high")
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        fields: dict[str, Any] = self.fields
        fields["title"].required = False
        fields["ink"].choices = fields["ground"].choices = sugar_choices()


class GridForm(forms.Form):
    """The bench grid: one line of letters for each row, and the sugar it lies in."""

    ground = forms.ChoiceField(label=gettext_lazy("It lies in"), initial="white")
    cells = forms.CharField(max_length=MOST_CELLS * (MOST_CELLS + 2), widget=forms.Textarea)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        fields: dict[str, Any] = self.fields
        fields["ground"].choices = sugar_choices()

    def clean_cells(self) -> list[list[str]]:
        """Rows of sugar ids."""
        sugars = [sugar.id for sugar in shop_sugars()]
        rows = self.cleaned_data["cells"].split()
        last = LETTERS[len(sugars) - 1]
        size = len(rows)
        if not LEAST_CELLS <= size <= MOST_CELLS:
            limits = f"from {LEAST_CELLS} to {MOST_CELLS}"
            raise forms.ValidationError(f"The grid has {size} rows; it must have {limits}.")
        for n, row in enumerate(rows, 1):
            if not re.fullmatch(f"[a-{last}]{{{size}}}", row):
                wanted = f"{size} letters from a to {last}"
                raise forms.ValidationError(f"Row {n} is {row[:60]!r}; it must be {wanted}.")
        return [[sugars[LETTERS.index(cell)] for cell in row] for row in rows]


class NewGridForm(SizeForm, GridForm):
    """A picture drawn from nothing."""


class OrderForm(SizeForm):
    """What the picture is worked out for."""

    packs = forms.IntegerField(min_value=1, max_value=2000, label=gettext_lazy("Bags"))
    fill = forms.FloatField(min_value=10, max_value=2000, label=gettext_lazy("In a bag, g"))
    hands = forms.MultipleChoiceField(
        required=False, widget=forms.CheckboxSelectMultiple, label=gettext_lazy("Who builds")
    )

    def __init__(self, *args: Any, names: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        fields: dict[str, Any] = self.fields
        fields["hands"].choices = [(name, name) for name in names]

    def clean_hands(self) -> list[str]:
        given: list[str] = self.cleaned_data["hands"]
        if len(given) > MOST_HANDS:
            raise forms.ValidationError(
                f"{len(given)} build; at most {MOST_HANDS} fit round a log."
            )
        return given

    def order(self, before: Plain) -> Plain:
        given = self.cleaned_data
        more = {"packs": given["packs"], "fill_mg": round(given["fill"] * 1000)}
        return {**super().order(before), **more, "hands": given["hands"]}


def order_as_typed(title: str, order: Plain) -> Plain:
    """An order in the units of its form."""
    return {
        "title": title,
        "log": f"{order['log_mg'] / 1e6:g}",
        "rod": f"{order['rod_um'] / 1000:g}",
        "packs": order["packs"],
        "fill": f"{order['fill_mg'] / 1000:g}",
        "hands": order["hands"],
    }


class WhatIfForm(forms.Form):
    """Log, rod and densities to try, and a colour that runs short."""

    log = forms.FloatField(min_value=3, max_value=25, label=gettext_lazy("Log, kg"))
    rod = forms.FloatField(min_value=8, max_value=40, label=gettext_lazy("Rod, mm"))
    white = forms.FloatField(min_value=900, max_value=1500, label=gettext_lazy("White, kg/m³"))
    light = forms.FloatField(
        min_value=900, max_value=1550, label=gettext_lazy("Light pulled, kg/m³")
    )
    clear = forms.FloatField(min_value=1200, max_value=1600, label=gettext_lazy("Clear, kg/m³"))
    short = forms.ChoiceField(required=False, label=gettext_lazy("Short of"))
    have = forms.FloatField(
        required=False, min_value=1, max_value=25_000, label=gettext_lazy("There are, g")
    )

    def __init__(self, *args: Any, colours: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        fields: dict[str, Any] = self.fields
        fields["short"].choices = [("", "nothing"), *colours]
