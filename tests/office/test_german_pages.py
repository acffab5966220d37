"""No page of the office says in English what it can say in German: every address is asked."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from django.db import transaction
from django.test import Client
from django.utils import translation

from shop.craft.calculation import name_in_words
from shop.management.catalogues import FLOOR, OFFICE, gathered
from shop.management.gathering import ROOT, english, floor_texts, of_page, office_texts
from shop.record.turns import reading_end
from shop.screens.office.sheet_words import looked_up
from shop.sentences import READER
from shop.store.people import people, set_person
from shop.store.shapes import ShopInfo
from shop.store.shops import say_who, set_settings
from tests.office.asks import COMPANY, OWN, asks, set_up
from tests.office.conftest import user_of

SHOWN = ("aria-label", "title", "placeholder", "alt", "data-says")
PLACE = re.compile(r"\\\{\w+[^{}]*\\\}|%\\\(\w+\\\)s|%\(\w+\)s")
# A pattern with fewer letters of its own would fit nearly any text.
OWN_LETTERS = 8
# What the invented shop typed itself, and what is printed on its labels.
TYPED = {
    *("Sugar", "Citric acid", "Glucose syrup", "nothing", "Roller", "Glass"),
    *("Boiled", "Close", "Keep", "Made", "and"),
}
# Not yet said otherwise than in English: the log of changes as it was kept, ids of stations, kinds
# and allergens that are data, sources of numbers, names a picture or a check was made with, and who
# pressed for whom.
STILL_ENGLISH = {
    *("front and packing", "in use", "lead maker", "on the phones", "roller hand", "second hand"),
    *("the program", "yes", "address", "kettle", "roller", "table", "colour", "none"),
    *("Hook", "Kettle", "Packing", "Set-up", "Table", "Dust and chips", "White", "Red", "Casing"),
    *("Brown off weight", "Casing off weight", "Wings off weight", "Yellow off weight"),
    *("Cook off the mark", "Rod off gauge", "Common practice, no source", "Water", "Do"),
    *("Maren (pressed by Isolde)", "Tobit (pressed by Maren)"),
}
# Pages of another kind. Our way is shown as the shop worded it, which is what is edited there; the
# preview is a phone of its own; a desk that was just given to somebody reads as they do.
IN_ENGLISH = {
    *("office-guide", "office-guide-page", "office-way-phone", "office-me"),
    "office-specimen",
    *("office-way", "office-way-act", "office-way-step", "office-way-force", "office-way-settle"),
    *("office-way-back", "office-way-between", "office-way-lists"),
}
# One English text of two senses, and its German where each is meant.
SENSES = {
    "lot": {"Boil": "Sud", "Keep": "Speichern"},
    "picture_parts": {"Cut": "Schneiden:", "Call": "Nennen:"},
    "way": {"Call": "Ruf"},
    "picture_grid": {"Line": "Linie"},
    "label_settings": {"Line": "Zeile"},
    "changes": {"From": "Vorher", "To": "Nachher"},
    "numbers": {"From": "Von", "To": "Bis"},
    "lessons": {"From": "Aus"},
    "compare": {"Stage": "Abschnitt"},
    "orders": {"Stage": "Stand"},
}
ON_THE_BENCH = {
    **{"boil": "Sieden", "keep": "Lagern", "mark": "Marke", "cut": "Schneiden"},
    "take_off": "Vom Feuer",
}


class Texts(HTMLParser):
    """What a page shows, text by text, and what it reads aloud."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.said: list[str] = []
        self.hidden = 0
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.hidden += tag in ("script", "style")
        self.said += [value for name, value in attrs if name in SHOWN and value]

    def handle_endtag(self, tag: str) -> None:
        self.hidden -= tag in ("script", "style")

    def handle_data(self, data: str) -> None:
        if not self.hidden and data.strip():
            self.said.append(" ".join(data.split()))


def pairs() -> Iterator[tuple[str, str]]:
    """Each English text beside its German, forms of a plural one by one, where they differ."""
    for domain, texts in ((OFFICE, office_texts()), (FLOOR, floor_texts())):
        for one in gathered("de", domain, texts):
            forms: list[Any] = [one.id, one.string]
            english, german = ([each] if isinstance(each, str) else list(each) for each in forms)
            yield from ((e, g) for e, g in zip(english, german, strict=True) if e and g and e != g)


def pattern(text: str) -> re.Pattern[str]:
    """What a text looks like with values in its places."""
    plain = " ".join(text.replace("%%", "%").split())
    return re.compile(PLACE.sub("(.+)", re.escape(plain)))


class English:
    """What German readers should not meet."""

    def __init__(self) -> None:
        self.exact: set[str] = set()
        self.patterns: list[re.Pattern[str]] = []
        for text, _ in pairs():
            made = pattern(text)
            if "(.+)" not in made.pattern:
                self.exact.add(" ".join(text.replace("%%", "%").split()))
            elif len(re.findall(r"[a-z]", made.pattern.replace("(.+)", ""))) >= OWN_LETTERS:
                self.patterns.append(made)
        self.said = {" ".join(said.replace("%%", "%").split()) for _, said in pairs()}
        self.german = [pattern(said) for _, said in pairs() if "{" in said or "%(" in said]

    def has(self, text: str) -> bool:
        # Some words are the same text in both, with another meaning.
        if text in self.exact:
            return text not in self.said
        return any(one.fullmatch(text) for one in self.patterns) and not any(
            one.fullmatch(text) and len(one.pattern) > OWN_LETTERS for one in self.german
        )


def german_desk(shop: ShopInfo, *more: ShopInfo) -> Client:
    known = people(shop.id)[0]
    user = user_of("anna", shop, *more, runs_the_company=True)
    set_person(shop_id=shop.id, key=known.key, name=known.name, role=known.role, language="de")
    say_who(shop_id=shop.id, user="anna", person=known.key, by="anna")
    desk = Client()
    desk.force_login(user)
    return desk


def test_no_page_says_in_english_what_it_can_say_in_german(
    demo: ShopInfo, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))
    scene = set_up(demo)
    # A desk of several shops reads what all of them read.
    set_settings(
        shop_id=scene.second.id,
        name=scene.second.name,
        settings={**scene.second.settings, "language": "de"},
    )
    desk, english, left = german_desk(demo, scene.second), English(), {}
    for name, ask in asks(scene).items():
        address = ask.address(name) if name in {*COMPANY, OWN} else f"/at/demo{ask.address(name)}"
        for data in [None] if ask.data is None else [None, ask.data]:
            with transaction.atomic():
                answer = (
                    desk.get(address) if data is None else desk.post(address, data, follow=True)
                )
                html = answer.get("Content-Type", "").startswith("text/html")
                # To its end: until then a file is open.
                content = b"".join(answer)
                said = Texts(content.decode()).said if html else []
                transaction.set_rollback(True)
            found = {text for text in said if english.has(text)} - TYPED - STILL_ENGLISH
            if found and name not in IN_ENGLISH:
                left[f"{name} {'POST' if data else 'GET'}"] = sorted(found)
    assert left == {}


@pytest.mark.parametrize("page", SENSES)
def test_each_sense_of_a_text_has_its_own_german_where_it_is_meant(page: str) -> None:
    here = map(english, of_page(ROOT / "templates" / "office" / f"{page}.html"))
    with translation.override("de"):
        said = {text: looked_up(text, context) for text, context in here}
    assert {text: said[text] for text in SENSES[page]} == SENSES[page]


@pytest.mark.parametrize("name", ON_THE_BENCH)
def test_a_name_of_the_bench_is_read_as_the_bench_means_it(name: str) -> None:
    before = READER.set(looked_up)
    with translation.override("de"):
        said = name_in_words(name).read()
    READER.reset(before)
    assert said == ON_THE_BENCH[name]


def test_rods_that_read_from_the_other_end_are_said_in_german() -> None:
    words = "The end with the dot of brown in the casing"
    before = READER.set(looked_up)
    with translation.override("de"):
        said = reading_end(
            {"picture": {"reading_end": words}},
            [{"from_rod": 12}, {"from_rod": 21}, {"from_rod": 31}, {"from_rod": 32}],
        ).read()
    READER.reset(before)
    assert said == (
        "Das Ende mit dem braunen Tupfen im Mantel; anders herum: Stäbe 12 bis 20, Stab 31"
    )


def test_what_is_english_is_told_from_what_is_german() -> None:
    english = English()
    assert english.has("Plan a boil")
    assert english.has("12 bags short of the order: a bigger log, or two.")
    assert english.has("Boils B and C want a kettle at 10:55; there is 1 kettle.")
    assert not english.has("Sud planen")
    assert not english.has("Die Sude B und C brauchen um 10:55 einen Kessel; es gibt 1 Kessel.")
    assert not english.has("Beehive, quince and lemon balm")
