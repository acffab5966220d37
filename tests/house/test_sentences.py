"""A sentence is its English text everywhere, and on a page what its reader reads."""

import json
import pickle
import string
from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.sentences import READER, Sentence, listed, reason
from shop.templatetags.sentence import opening

GERMAN = {
    "{n} bags short: {why}": "{n} Beutel fehlen: {why}",
    "no <hands>": "keine <Hände>",
    "{one} and {more}": "{one} und {more}",
    "Line": "Zeile",
    "to draw: Line": "Linie",
}
SHORT = Sentence("{n} bags short: {why}", n=3, why=Sentence("no <hands>"))
WORDS = st.text(string.ascii_letters + " %{}<&'", max_size=12)


@pytest.fixture
def german() -> Iterator[None]:
    before = READER.set(
        lambda pattern, context: GERMAN.get(
            f"{context}: {pattern}" if context else pattern, pattern
        )
    )
    yield
    READER.reset(before)


def test_it_is_its_english_text_whoever_reads(german: None) -> None:
    assert SHORT == "3 bags short: no <hands>" == str(SHORT) == f"{SHORT}"
    assert json.dumps({"says": SHORT}) == '{"says": "3 bags short: no <hands>"}'
    assert "3 bags short: no <hands>" in {SHORT}


def test_a_page_reads_it_and_what_is_in_it_in_the_readers_words(german: None) -> None:
    assert SHORT.read() == "3 Beutel fehlen: keine <Hände>"
    assert SHORT.__html__() == "3 Beutel fehlen: keine &lt;Hände&gt;"
    assert opening(Sentence("no <hands>")) == "Keine <Hände>"
    assert listed(["B", Sentence("no <hands>")]).read() == "B, keine <Hände>"
    # What a person typed is read as it was typed, though a catalogue knows the words.
    assert Sentence("{one} and {more}", one="no <hands>", more="x").read() == "no <hands> und x"


def test_a_text_of_two_senses_is_read_as_it_is_meant(german: None) -> None:
    here, there = Sentence("Line"), Sentence("Line", context="to draw")
    assert here == there == "Line"
    assert (here.read(), there.read()) == ("Zeile", "Linie")
    assert pickle.loads(pickle.dumps(there)).read() == "Linie"  # noqa: S301


def test_without_a_reader_it_is_read_in_english() -> None:
    assert SHORT.read() == SHORT


def test_an_error_is_read_as_its_sentence(german: None) -> None:
    assert reason(ValueError(SHORT)) == "3 Beutel fehlen: keine <Hände>"
    assert reason(ValueError("as it came")) == "as it came"
    assert reason(ValueError()) == ""


@given(values=st.dictionaries(st.sampled_from(["a", "b", "c"]), WORDS, min_size=3))
def test_it_goes_to_another_process_and_back_whole(values: dict[str, Any]) -> None:
    said = Sentence("{a}, {b}: {c}", **values)
    assert said == f"{values['a']}, {values['b']}: {values['c']}"
    for again in (pickle.loads(pickle.dumps(said)), deepcopy(said)):  # noqa: S301
        assert (again, again.pattern, again.values) == (said, said.pattern, values)


@given(text=WORDS)
def test_a_text_without_values_stands_as_it_is(text: str) -> None:
    assert Sentence(text) == text == Sentence(text).read()
