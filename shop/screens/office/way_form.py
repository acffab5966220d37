"""The form of one step of our way."""

from functools import cache
from typing import Any

from django import forms

from shop.plan.check_way import HEADINGS, LONGEST
from shop.plan.own_way import OWN_STEP, Flat, all_ids, file_of_way, step_of
from shop.plan.skills import ladder
from shop.screens.office.way_sheet import figures, shared_figures

WORDS = {
    "say": "What to do",
    "call": "Called across the room",
    "cue": "Why, or what to see",
    "band": "Hot band",
    "caution": "Caution",
}
HELP = {
    "say": "At most eight words, read from 70 cm.",
    "call": "At most three words, read from two metres.",
    "band": "Degrees and a word in capitals: 150 LIQUID. Empty where nothing is hot.",
    "caution": "Where the hazard changes. What the program warns of is shown after it.",
}
FLAGS = {
    "stop": "Nothing is lit without it",
    "needs_value": "Needs its value",
    "second_person": "A second person says yes",
}
LINES, RECORDS = 4, 4
NOTHING = ("", "nothing")


class StepForm(forms.Form):
    """A step in plain words; each list begins with nothing."""

    def __init__(self, data: Any, flat: Flat, ident: str) -> None:
        step = step_of(flat, ident)
        super().__init__(data, initial=_initial(step))
        fields: dict[str, forms.Field] = self.fields
        for field, label in WORDS.items():
            fields[field] = forms.CharField(
                max_length=LONGEST[field],
                required=field in ("say", "call"),
                label=label,
                help_text=HELP.get(field, ""),
            )
        shown = _with(_figures(), [step["number"], *step["lines"]])
        fields["number"] = _choice("The one big number", shown)
        for n in range(LINES):
            fields[f"line_{n}"] = _choice(f"Line {n + 1}", shown)
        for n in range(RECORDS):
            fields[f"record_{n}"] = _choice(
                f"Writes down {n + 1}", _with(_records(), step["record"])
            )
        fields["after"] = forms.MultipleChoiceField(
            required=False,
            label="Comes after",
            choices=[(one, flat[f"steps/{one}/say"]) for one in all_ids(flat) if one != ident],
            widget=forms.SelectMultiple(attrs={"size": 6}),
            help_text="Steps of other stations it waits for; those before it here come first.",
        )
        for field, label in FLAGS.items():
            fields[field] = forms.BooleanField(required=False, label=label)
        counts = [(name, words) for name, words in _figures() if figures()[name]["unit"] == "1"]
        fields["repeat"] = _choice("Repeats as often as", counts)
        fields["skill"] = _choice("Needs the skill", [(s.id, s.name) for s in ladder()])
        if ident.startswith(OWN_STEP):
            choices = [(one, one.replace("-", " ")) for one in HEADINGS]
            fields["heading"] = forms.ChoiceField(label="Heading", choices=choices)

    def values(self) -> dict[str, Any]:
        """What is set, as a way keeps it."""
        given = self.cleaned_data
        plain = {field: given[field].strip() for field in (*WORDS, "number", "skill")}
        several = {
            "lines": [given[f"line_{n}"] for n in range(LINES) if given[f"line_{n}"]],
            "record": [given[f"record_{n}"] for n in range(RECORDS) if given[f"record_{n}"]],
            "after": given["after"],
        }
        flags = {field: int(given[field]) for field in FLAGS}
        repeat = {"figure": given["repeat"]} if given["repeat"] else None
        heading = {"heading": given["heading"]} if "heading" in given else {}
        return {**plain, **several, **flags, "repeat": repeat, **heading}


def _initial(step: dict[str, Any]) -> dict[str, Any]:
    lines = {f"line_{n}": one for n, one in enumerate(step["lines"])}
    records = {f"record_{n}": one for n, one in enumerate(step["record"])}
    # Nought as it stands would be drawn ticked.
    flags = {field: bool(step[field]) for field in FLAGS}
    return {**step, **lines, **records, **flags, "repeat": (step["repeat"] or {}).get("figure", "")}


def _choice(label: str, choices: list[tuple[str, str]]) -> forms.ChoiceField:
    return forms.ChoiceField(required=False, label=label, choices=[NOTHING, *choices])


def _with(choices: list[tuple[str, str]], used: list[str]) -> list[tuple[str, str]]:
    """The choices, and what stands there already: `{id}_planned` of a step for every portion."""
    known = {value for value, _ in choices}
    extra = [(one, one.replace("_", " ")) for one in used if one and one not in known]
    return [*choices, *dict.fromkeys(extra)]


@cache
def _figures() -> list[tuple[str, str]]:
    """Figures that no single portion has, by what they say."""
    named = [(name, str(figure["says"])) for name, figure in shared_figures().items()]
    return sorted(named, key=lambda one: one[1].lower())


@cache
def _records() -> list[tuple[str, str]]:
    rows = file_of_way("records").items()
    return [(name, row["label"]) for name, row in rows if "each" not in row]
