"""A sentence that was put together from a pattern and values, and can be read in another language.

Everywhere it is its English text: in records, in files, in comparisons. Only a page asks it to be
read: templates do by `__html__`, code by `in_words`. Whoever answers a request says how with
`READER`: a look-up of the pattern in the reader's language, and of what it means where the same
English is said of another thing (a context, as gettext has it).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextvars import ContextVar
from html import escape


def _as_written(pattern: str, _context: str) -> str:
    return pattern


READER: ContextVar[Callable[[str, str], str]] = ContextVar("READER", default=_as_written)


class Sentence(str):
    """`Sentence("{n} bags short", n=3)`; a value that is a sentence is read in its turn.

    >>> Sentence("{n} bags short, {why}", n=3, why=Sentence("no hands"))
    '3 bags short, no hands'
    """

    __slots__ = ("context", "pattern", "values")

    context: str
    pattern: str
    values: dict[str, object]

    def __new__(cls, pattern: str, /, *, context: str = "", **values: object) -> Sentence:
        made = super().__new__(cls, pattern.format(**values) if values else pattern)
        made.context, made.pattern, made.values = context, pattern, values
        return made

    def __reduce__(self) -> tuple[Callable[..., Sentence], tuple[object, ...]]:
        return _again, (self.pattern, self.context, self.values)

    def read(self) -> str:
        """In the reader's language; in English where nobody translated it."""
        said = READER.get()(self.pattern, self.context) if self.pattern else ""
        values = {name: in_words(value) for name, value in self.values.items()}
        return said.format(**values) if values else said

    def __html__(self) -> str:
        return escape(self.read())


def _again(pattern: str, context: str, values: dict[str, object]) -> Sentence:
    return Sentence(pattern, context=context, **values)


def in_words(value: object) -> object:
    """A value as the reader reads it: a sentence in their language, all else as it is."""
    return value.read() if isinstance(value, Sentence) else value


def listed(parts: Iterable[object], between: str = ", ") -> Sentence:
    """Sentences and other texts one after the other, each read by itself.

    >>> listed(["B", Sentence("C")])
    'B, C'
    """
    values = {f"n{n}": part for n, part in enumerate(parts)}
    return Sentence(between.join(f"{{{name}}}" for name in values), context="", **values)


def reason(wrong: Exception) -> str:
    """What an error says, in the reader's language."""
    said = wrong.args[0] if wrong.args else ""
    return str(in_words(said)) if isinstance(said, Sentence) else str(wrong)
