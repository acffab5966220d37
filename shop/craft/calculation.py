"""What a named calculation of the bench is: options with units, results with bands."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from shop.craft.errors import CraftError
from shop.craft.quantities import QuantityWrong, measurable, read, read_parts
from shop.sentences import Sentence

Kind = Literal["quantity", "number", "parts", "choice", "flag"]


class AskedWrong(CraftError):
    """Options that do not make a question."""


@dataclass(frozen=True, slots=True)
class Option:
    """One option: what it is called, its kind, its unit (for parts: two), and what it says."""

    name: str
    unit: str = ""
    says: str = ""
    kind: Kind = "quantity"
    needed: bool = False
    default: str = ""
    choices: tuple[str, ...] = ()


# Names that elsewhere in the program are said of another thing.
OF_THE_BENCH = {"Boil", "Cut", "Keep", "Mark", "Take off"}
UNIT_WORDS = {"degC": "°C", "delta_degC": "K", "percent": "%", "kg/m^3": "kg/m³"}


def name_in_words(name: str) -> Sentence:
    """The name of a calculation, an option or a result, as its reader reads it.

    >>> name_in_words("take_off")
    'Take off'
    """
    words = name.replace("-", " ").replace("_", " ").capitalize()
    return Sentence(words, context="bench" if words in OF_THE_BENCH else "")


def _places(value: float) -> int:
    """Decimals that show four figures, as many as anybody weighs or reads."""
    return 0 if value == int(value) else max(0, 3 - math.floor(math.log10(abs(value))))


@dataclass(frozen=True, slots=True)
class Result:
    """A value, its unit, and its band where the sources give one."""

    value: float | list[float]
    unit: str
    low: float | None = None
    high: float | None = None

    def in_words(self) -> str:
        """`149.4 °C (147.0 to 151.9)`.

        >>> Result(149.41, "degC", 147.0, 151.9).in_words()
        '149.4 °C (147.0 to 151.9)'
        """
        values = self.value if isinstance(self.value, list) else [self.value]
        unit = UNIT_WORDS.get(self.unit, self.unit)
        said = f"{', '.join(f'{v:.{_places(v)}f}' for v in values)} {unit}".rstrip()
        if self.low is None or self.high is None:
            return said
        places = _places(values[0])
        return f"{said} ({self.low:.{places}f} to {self.high:.{places}f})"


@dataclass(frozen=True, slots=True)
class Answer:
    """Results by name, what they rest on, and what to know about them."""

    results: dict[str, Result]
    sources: list[str]
    notes: list[str] = field(default_factory=list)

    def as_json(self) -> dict[str, Any]:
        """`{"results": {name: {value, unit[, low, high]}}, "sources": […], "notes": […]}`."""
        return {
            "results": {name: _plain(result) for name, result in self.results.items()},
            "sources": self.sources,
            "notes": self.notes,
        }


def _plain(result: Result) -> dict[str, Any]:
    found: dict[str, Any] = {"value": result.value, "unit": result.unit}
    return found if result.low is None else {**found, "low": result.low, "high": result.high}


@dataclass(frozen=True, slots=True)
class Calculation:
    """A named calculation: what it answers, its options, and how."""

    name: str
    says: str
    options: tuple[Option, ...]
    run: Callable[[dict[str, Any]], Answer]

    @property
    def short(self) -> str:
        """The name as a heading."""
        return name_in_words(self.name)


CALCULATIONS: dict[str, Calculation] = {}


def calculation(name: str, says: str, *options: Option) -> Callable[..., Any]:
    def add(run: Callable[[dict[str, Any]], Answer]) -> Callable[[dict[str, Any]], Answer]:
        CALCULATIONS[name] = Calculation(name, Sentence(says), options, run)
        return run

    return add


def reckon(name: str, given: Mapping[str, str]) -> Answer:
    """The answer of calculation `name` to options as text, such as `{"solids": "97%"}`.

    Raises AskedWrong, QuantityWrong or OutOfRange; each names what is wrong.
    """
    if name not in CALCULATIONS:
        raise AskedWrong(
            Sentence(
                "{name!r} is not reckoned here; ask for {some}.",
                name=name,
                some=", ".join(CALCULATIONS),
            )
        )
    values = values_of(name, given)
    try:
        answer = CALCULATIONS[name].run(values)
    except ArithmeticError as error:
        raise AskedWrong(
            Sentence("{name}: these values together can't be reckoned with.", name=name)
        ) from error
    if not all(map(_is_finite, answer.results.values())):
        raise AskedWrong(
            Sentence("{name}: these values together lead past all numbers.", name=name)
        )
    return answer


def _is_finite(result: Result) -> bool:
    values = result.value if isinstance(result.value, list) else [result.value]
    ends = [end for end in (result.low, result.high) if end is not None]
    return all(map(math.isfinite, [*values, *ends]))


def values_of(name: str, given: Mapping[str, str]) -> dict[str, Any]:
    known = {option.name: option for option in CALCULATIONS[name].options}
    if unknown := set(given) - set(known):
        raise AskedWrong(
            Sentence("{name} has no option {some}.", name=name, some=", ".join(sorted(unknown)))
        )
    values = {}
    for option in known.values():
        text = given.get(option.name) or option.default
        if text:
            values[option.name] = _value(option, text)
        elif option.needed:
            raise AskedWrong(f"{name} needs --{option.name}: {option.says}.")
    return values


def _value(option: Option, text: str) -> Any:
    if option.kind == "quantity":
        return read(option.name, text, option.unit)
    if option.kind == "parts":
        return read_parts(option.name, text, *option.unit.split("@"))
    if option.kind == "choice" and text not in option.choices:
        raise AskedWrong(
            Sentence(
                "{name} is {text!r}; choose {some}.",
                name=option.name,
                text=text,
                some=", ".join(option.choices),
            )
        )
    if option.kind == "number":
        try:
            return measurable(option.name, float(text), text)
        except ValueError as error:
            raise QuantityWrong(
                Sentence("{name}: {text!r} is not a number.", name=option.name, text=text)
            ) from error
    return text
