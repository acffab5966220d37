"""All that can be said has a recording, none is left over, each decodes; and no line says 'off'."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page

from shop.demo.scenario import demo_sheet
from tests.record.conftest import in_browser
from tests.record.conftest import page as browser_page
from tests.voice.phrases import VOICE, phrases

page = browser_page

LANGUAGES = ("en", "de")
# Marks in whole degrees: 100 to 180 °C, and the same in °F.
MARKS = [*range(100, 181), *range(212, 357)]
MOST_BYTES = 300_000
LONGEST_S, SHORTEST_S = 4.0, 0.15
EVERY_LINE = """
const u = utterance, lines = [u.hot(null), u.poured(), u.silent(), u.burn(), u.heard()];
for (const mark of given.marks) lines.push(utterance.hot(mark));
for (const id of ['lid', 'skin', 'a shop’s own'])
  for (let n = 0; n <= 61; n += 1) lines.push(utterance.begun(id, n), utterance.over(id, n));
const { language } = given;
return lines.map((line) => [u.recordings(language, line), u.text(language, line)]);
"""
LOUDEST = """async (address) => {
  const bytes = await (await fetch(address)).arrayBuffer();
  const audio = new OfflineAudioContext(1, 1, 48000);
  const found = await audio.decodeAudioData(bytes), dots = found.getChannelData(0);
  return { duration: found.duration, channels: found.numberOfChannels,
    peak: dots.reduce((most, dot) => Math.max(most, Math.abs(dot)), 0),
    mean: Math.sqrt(dots.reduce((sum, dot) => sum + dot * dot, 0) / dots.length) };
}"""


def lines(page: Page, language: str) -> list[tuple[list[list[str]], str]]:
    given = {"language": language, "marks": MARKS}
    found: list[tuple[list[list[str]], str]] = in_browser(page, EVERY_LINE, given, "utterance")
    return found


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_phrase_the_code_can_say_has_a_recording_and_none_is_left_over(
    page: Page, language: str
) -> None:
    said = {name for parts, _ in lines(page, language) for part in parts for name in part}
    files = {path.stem for path in (VOICE / language).iterdir()}
    assert said == files == set(phrases()[language])
    assert {path.suffix for path in (VOICE / language).iterdir()} == {".mp3"}


def test_a_phone_takes_little_for_its_voice() -> None:
    assert {path.name for path in VOICE.iterdir()} == set(phrases()) == set(LANGUAGES)
    assert sum(path.stat().st_size for path in VOICE.rglob("*.mp3")) < MOST_BYTES


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_recording_decodes_is_loud_and_neither_cut_off_nor_drawn_out(
    page: Page, language: str
) -> None:
    for name, text in phrases()[language].items():
        found: dict[str, float] = page.evaluate(LOUDEST, f"/voice/{language}/{name}.mp3")
        assert SHORTEST_S < found["duration"] < LONGEST_S, name
        # Nobody speaks faster than 20 ms a letter, nobody waits for more than 200.
        assert 0.02 * len(text) < found["duration"] < 0.4 + 0.2 * len(text), (name, found)
        assert found["channels"] == 1
        assert found["peak"] > 0.4, (name, found)
        assert found["mean"] > 0.04, (name, found)


# English as the numerals are named; German says the ones first. Both by the dictionary.
NUMBERS = {
    ("en", 100): "h1",
    ("en", 113): "h1 n13",
    ("en", 140): "h1 n40",
    ("en", 148): "h1 n40 n8",
    ("en", 300): "h3",
    ("en", 356): "h3 n50 n6",
    ("de", 101): "h1 n1",
    ("de", 112): "h1 n12",
    ("de", 148): "h1 u8 n40",
    ("de", 200): "h2",
    ("de", 293): "h2 u3 n90",
}


@pytest.mark.parametrize(("language", "mark"), NUMBERS)
def test_a_mark_is_said_as_a_number_and_then_figure_by_figure(
    page: Page, language: str, mark: int
) -> None:
    given = {"language": language, "marks": [mark]}
    parts = next(
        p for p, _ in in_browser(page, EVERY_LINE, given, "utterance") if p[:1] == [["eyes"]]
    )
    figures = ["d2" if language == "de" and f == "2" else f"n{f}" for f in str(mark)]
    assert parts == [["eyes"], ["mark"], NUMBERS[language, mark].split(), figures]


VALUE = {"de": re.compile(r"^([hnud])(\d+)$"), "en": re.compile(r"^([hn])(\d+)$")}


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_parts_of_a_number_add_up_to_it(page: Page, language: str) -> None:
    given = {"language": language, "marks": MARKS}
    hot = [p for p, _ in in_browser(page, EVERY_LINE, given, "utterance") if p[:1] == [["eyes"]]]
    sums = [sum(worth(language, name) for name in number) for _, _, number, _ in hot]
    assert sums == MARKS
    singles = [int("".join(str(worth(language, name)) for name in f)) for *_, f in hot]
    assert singles == MARKS


def worth(language: str, name: str) -> int:
    found = VALUE[language].match(name)
    assert found
    return int(found[2]) * (100 if found[1] == "h" else 1)


OFF = {
    "en": r"\b(off|take it|remove|now|seconds?|in \d)\b",
    "de": r"\b(aus|ab|weg|jetzt|abnehmen|vom Feuer|Sekunden?|in \d)\b",
}


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_line_says_that_something_is_to_come_off_or_counts_down(
    page: Page, language: str
) -> None:
    texts = [text for _, text in lines(page, language)]
    assert [text for text in texts if re.search(OFF[language], text, re.I)] == []
    assert not any(re.search(OFF[language], text, re.I) for text in phrases()[language].values())


def test_a_voice_of_the_phone_gets_the_same_words(page: Page) -> None:
    english = {text for _, text in lines(page, "en")}
    assert "Eyes on the thermometer. Mark. 148. one, four, eight." in english
    assert "Lid. Time. 4 minutes late" in english
    assert "Time. more than an hour late" in english
    assert "Lid. one minute" in english
    german = {text for _, text in lines(page, "de")}
    assert "Augen aufs Thermometer. Marke. 142. eins, vier, zwo." in german
    assert "Deckel. Zeit. 4 Minuten zu spät" in german


def test_every_countdown_of_our_way_is_called_by_its_name() -> None:
    steps = demo_sheet("demo-planned")["steps"].values()
    assert {step["countdown"]["id"] for step in steps if step["countdown"]} == {"lid", "skin"}
    assert {"lid", "skin"} <= set(phrases()["en"]) & set(phrases()["de"])
