"""Other languages: nothing of the floor or our way is left out, and what is made is up to date."""

import re
from pathlib import Path

import pytest
from django.template.base import Lexer, TokenType

from shop.management.catalogues import FLOOR, LANGUAGES, OFFICE, files, gathered, share
from shop.management.gathering import (
    ROOT,
    Meant,
    floor_texts,
    of_page,
    of_python,
    office_texts,
)
from shop.plan.check_way import LONGEST
from shop.plan.own_way import file_of_way

PAGES = ROOT / "templates" / "office"
READ_ALOUD = re.compile(r'(?:aria-label|alt|placeholder|title|data-says)="([^"]*)"')
WORD = re.compile(r"[^\W\d_]{2}")
SAME_EVERYWHERE = {
    *("Kettleside", "· Kettleside", "PDF", "JSON", "CSV", "mm²", "- kg", "- min"),
    "python3 manage.py changepassword office",
}
# The office had some hundreds of texts when they were first marked.
MARKED = 700
OFFICE_PLACES = re.compile(r"%(?:\(\w+\))[sdr]|\{\w*[^{}]*\}")
PLACES = re.compile(r"\{\w+\}|%\(\w+\)s")


@pytest.fixture(params=LANGUAGES)
def language(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def words(language: str) -> dict[str, str]:
    made = gathered(language, FLOOR, floor_texts())
    return {str(one.id): str(one.string) for one in made if one.id}


def test_no_text_of_the_floor_or_the_way_is_left_in_english(language: str) -> None:
    assert [text for text, said in words(language).items() if not said] == []


def office(language: str) -> list[tuple[str, str]]:
    """Each text of the office beside its translation, the forms of a plural one by one."""
    found: list[tuple[str, str]] = []
    for one in gathered(language, OFFICE, office_texts()):
        if one.id:
            texts, said = (
                [str(form) for form in (given if isinstance(given, list | tuple) else [given])]
                for given in (one.id, one.string)
            )
            found += zip(texts, said, strict=True)
    return found


def test_no_marked_text_of_the_office_is_left_in_english(language: str) -> None:
    assert [text for text, said in office(language) if not said] == []
    done, whole = share(language, OFFICE)
    assert done == whole > MARKED, f"{done} of {whole} texts of the office"


def unmarked(page: str) -> list[str]:
    """Words of a page that stand outside every tag that translates."""
    bare, inside = "", False
    for token in Lexer(page).tokenize():
        if token.token_type == TokenType.BLOCK:
            inside = token.contents.startswith(("blocktranslate", "plural"))
        elif token.token_type == TokenType.TEXT and not inside:
            bare += token.contents
        elif token.token_type == TokenType.VAR:
            bare += "-"
            continue
    said = [*re.sub(r"<[^>]*>", "\n", bare).split("\n"), *READ_ALOUD.findall(bare)]
    return [one.strip() for one in said if WORD.search(re.sub(r"&\w+;", "", one))]


def test_every_word_of_the_office_is_marked() -> None:
    """But for names of the program, of formats, of units, and what is typed on a console."""
    pages = sorted(PAGES.glob("*.html"))
    left = {one for path in pages for one in unmarked(path.read_text("utf-8"))}
    assert left <= SAME_EVERYWHERE


def test_every_place_for_a_value_is_kept_at_the_office(language: str) -> None:
    for text, said in office(language):
        assert sorted(OFFICE_PLACES.findall(said)) == sorted(OFFICE_PLACES.findall(text)), text


def test_what_surrounds_a_part_of_a_sentence_is_kept(language: str) -> None:
    for text, said in office(language):
        assert (said[:1].isspace(), said[-1:].isspace()) == (text[:1] == " ", text[-1:] == " "), (
            text
        )


def test_every_place_for_a_value_is_kept(language: str) -> None:
    for text, said in words(language).items():
        same = {one.lower() for one in PLACES.findall(text)}
        assert {one.lower() for one in PLACES.findall(said)} == same, text


def test_numbers_of_a_caution_stay_as_they_are(language: str) -> None:
    for text, said in words(language).items():
        assert re.findall(r"\d{2,3}", said) == re.findall(r"\d{2,3}", text), text


def test_calls_have_at_most_three_words_and_fit(language: str) -> None:
    known = words(language)
    steps = [step for station in file_of_way("steps")["station"] for step in station["step"]]
    for step in steps:
        call, say = known.get(step["call"], ""), known.get(step["say"], "")
        assert len(call.split()) <= 3, call
        assert len(call) <= LONGEST["call"], call
        assert len(say) <= LONGEST["say"], say


def test_a_text_is_gathered_with_its_context_and_without(tmp_path: Path) -> None:
    code, page = tmp_path / "code.py", tmp_path / "page.html"
    code.write_text('Sentence("Line {n}", context="to draw", n=1)\nSentence("Line {n}", n=1)')
    page.write_text('{% translate "Line" context "to draw" %}{% translate "Line" as line %}')
    assert list(of_python(code)) == [Meant("Line {n}", "to draw"), "Line {n}"]
    assert list(of_page(page)) == [Meant("Line", "to draw"), "Line"]


def test_what_the_program_reads_is_made_of_what_was_translated(language: str) -> None:
    for path, content in files(language).items():
        assert path.read_bytes() == content, f"{path.name}: run `manage.py words`"
