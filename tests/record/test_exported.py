"""A record's file makes the same record again, byte for byte; a changed one is told."""

import json
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.record.errors import NotARecord, RecordChanged
from shop.record.exported import as_text, from_text
from tests.record.demo_record import demo_events, demo_record, record_of


@cache
def the_file() -> str:
    return as_text(demo_record())


def changed(change: Any) -> str:
    told = json.loads(the_file())
    change(told)
    return as_text(told)


def test_the_same_bytes_come_from_the_file_alone() -> None:
    assert as_text(from_text(the_file())) == the_file()


@given(st.integers(0, 132), st.randoms(use_true_random=False))
@settings(max_examples=15, deadline=None)
def test_so_it_is_for_any_boil_in_any_order_of_its_entries(length: int, chance: Any) -> None:
    events = demo_events()[:length]
    chance.shuffle(events)
    text = as_text(record_of(events, melted=length * 1000))
    assert as_text(from_text(text)) == text


def test_every_entry_is_in_it_as_it_was_made() -> None:
    kept = [json.loads(entry["line"]) for entry in json.loads(the_file())["kept"]["entries"]]
    assert kept == demo_events()


def _line(told: dict[str, Any]) -> None:
    entry = told["kept"]["entries"][43]
    entry["line"] = entry["line"].replace("1523", "1490").replace("cook", "cool")


def _received(told: dict[str, Any]) -> None:
    told["kept"]["entries"][5]["received"] += 1


def _cut(told: dict[str, Any]) -> None:
    told["kept"]["entries"].pop()


def _swapped(told: dict[str, Any]) -> None:
    entries = told["kept"]["entries"]
    entries[2], entries[3] = entries[3], entries[2]


def _sheet(told: dict[str, Any]) -> None:
    told["kept"]["sheet"]["order"]["customer"] = "Somebody else"


def _scrap(told: dict[str, Any]) -> None:
    told["kept"]["melted"] = [{"lot": "L6328A", "mg": 1}]


def _page(told: dict[str, Any]) -> None:
    told["yield"] += 1


def _more(told: dict[str, Any]) -> None:
    told["approved"] = "yes"


@pytest.mark.parametrize(
    ("change", "where"),
    [
        (_line, "Entry 44 was changed"),
        (_received, "Entry 6 was changed"),
        (_cut, "The end of the entries was changed"),
        (_swapped, "Entry 3 was changed"),
        (_sheet, "The sheet was changed"),
        (_scrap, "“mass_balance” was changed"),
        (_page, "“yield” was changed"),
        (_more, "“approved” was changed"),
    ],
)
def test_what_was_changed_is_named(change: Any, where: str) -> None:
    with pytest.raises(RecordChanged, match=where):
        from_text(changed(change))


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_no_figure_or_letter_of_it_can_be_another(data: Any) -> None:
    text = the_file()
    where = data.draw(st.integers(0, len(text) - 1).filter(lambda i: text[i].isalnum()))
    other = "7" if text[where] != "7" else "3"
    with pytest.raises((RecordChanged, NotARecord)):
        from_text(text[:where] + other + text[where + 1 :])


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "not one whole JSON"),
        ("[" * 100_000, "not one whole JSON"),
        ("[]", "does not begin"),
        ('{"kettleside":"entries"}', "does not begin"),
        ('{"kettleside":"record","v":2}', "its version is 2"),
        ('{"kettleside":"record","v":1,"kept":{}}', "it has no sheet"),
    ],
)
def test_another_file_is_refused_with_a_sentence(text: str, why: str) -> None:
    with pytest.raises(NotARecord, match=why):
        from_text(text)


def test_a_file_of_an_older_fold_is_made_anew_as_this_program_sees_it() -> None:
    def older(told: dict[str, Any]) -> None:
        told["fold"] -= 1
        told["summary"] = {}

    assert as_text(from_text(changed(older))) == the_file()
