"""An order before its boil: what is missing, the text read back, packs, verdict, quote, hands."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.demo.day import LINES
from shop.demo.order import SAID
from shop.demo.scenario import PEOPLE, PICTURE, SUGARS, demo_sheet, when
from shop.lessons.hands import middle, minutes_by_role
from shop.picture.needs import need_kg
from shop.plan.crew import roles
from shop.plan.numbers import shop_numbers
from shop.plan.orders.counter import MakeDay, enquiry_of, without_picture
from shop.plan.orders.law import law_hints
from shop.plan.orders.numbers import counter_defaults, counter_numbers
from shop.plan.orders.quote import Charged, Minutes, charged, plain_white, quote
from shop.plan.orders.read_back import one_way, read_back, spelled, words_of
from shop.plan.orders.said import COUNTRIES, NOTHING, missing, packs_together, whole_said
from shop.plan.orders.stages import NEXT, STAGES
from shop.plan.sheet_picture import portions_of

NUMBERS, COUNTER = shop_numbers({}), counter_numbers({})
SOURCES = {key: number.source for key, number in counter_defaults().items()}
MINUTES = {role.id: Minutes(COUNTER[f"minutes_{role.id}"], "x") for role in roles()}


@given(st.text(max_size=40))
def test_a_text_read_back_by_name_is_the_text(text: str) -> None:
    told = read_back(text)
    assert spelled([sign.name for sign in told.signs]) == told.text
    assert told.text == unicodedata.normalize("NFC", text)
    assert read_back(told.text) == type(told)(told.text, told.signs, read_back(told.text).beware)


@pytest.mark.parametrize(
    ("sign", "name", "words"),
    [
        # The Unicode Standard, code charts and UnicodeData.txt (names never change).
        ("É", "LATIN CAPITAL LETTER E WITH ACUTE", "capital E with acute"),
        ("ß", "LATIN SMALL LETTER SHARP S", "small sharp s"),
        ("ø", "LATIN SMALL LETTER O WITH STROKE", "small o with stroke"),
        ("Æ", "LATIN CAPITAL LETTER AE", "capital Ae"),
        ("7", "DIGIT SEVEN", "the figure 7"),
        ("&", "AMPERSAND", "and sign (ampersand)"),
        (" ", "SPACE", "space"),
        ("’", "RIGHT SINGLE QUOTATION MARK", "curly apostrophe"),
        ("♥", "BLACK HEART SUIT", "black heart suit"),
        ("\u0410", "CYRILLIC CAPITAL LETTER A", "capital Cyrillic A"),
    ],
)
def test_each_sign_has_unicodes_name_and_plain_words(sign: str, name: str, words: str) -> None:
    [told] = read_back(sign).signs
    assert (told.name, told.words) == (name, words)


@pytest.mark.parametrize(
    ("given_", "kept"),
    # UAX #15, figures 3 and 4: singletons and canonical composites under NFC.
    [
        *(("\u212b", "\u00c5"), ("\u2126", "\u03a9"), ("A\u030a", "\u00c5")),
        *(("\u00f4", "\u00f4"), ("s\u0323\u0307", "\u1e69"), ("\ufb01", "\ufb01")),
    ],
)
def test_letters_that_came_in_pieces_are_put_together(given_: str, kept: str) -> None:
    told = read_back(given_)
    assert told.text == kept
    assert bool(told.beware) is (given_ != kept)


@pytest.mark.parametrize(
    ("sign", "other"),
    # Unicode TS #39, confusables.txt, from memory: O and 0, I, l, 1 and |; others common practice.
    [
        ("O", "0"),
        ("0", "O"),
        ("I", "l"),
        ("l", "1"),
        ("1", "I"),
        ("|", "l"),
        ("S", "5"),
        ("B", "8"),
    ],
)
def test_what_is_read_for_another_is_pointed_out(sign: str, other: str) -> None:
    [told] = read_back(sign).signs
    assert any(other in words for words in told.beware)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("corner", "'rn' reads as 'm'"),
        ("a  b", "two spaces"),
        (" ab", "begins or ends with a space"),
        ("LENa", "mixed"),
        ("T\u041eM", "Cyrillic"),
        ("A\u200bB", "can't be seen"),
        ("A\u00a0B", "can't be seen"),
    ],
)
def test_what_the_eye_passes_over_is_said(text: str, words: str) -> None:
    told = read_back(text)
    said = [*told.beware, *(why for sign in told.signs for why in sign.beware)]
    assert any(words in one for one in said)


def test_a_plain_word_has_nothing_to_beware_of() -> None:
    told = read_back("MAMA TATA")
    assert (told.beware, told.one_way) == ((), "")
    assert not any(sign.beware for sign in told.signs)


def test_letters_that_are_turned_on_the_other_face() -> None:
    """Symmetric about the upright: the trade's list A H I M O T U V W X Y; accents by geometry:
    diaeresis, circumflex and ring are, acute, grave, tilde and cedilla are not."""
    both = [sign for sign in "ABCDEFGHIJKLMNOPQRSTUVWXYZ" if not one_way(sign)]
    assert "".join(both) == "AHIMOTUVWXY"
    assert [sign for sign in "ÄÖÜÂŮÎ" if one_way(sign)] == []
    assert all(one_way(sign) for sign in "ÁÀÃÇÉÓÒÚŃS")
    assert read_back("NANNA").one_way == "N"


def test_words_name_a_control_character_by_its_number() -> None:
    assert words_of("\x07") == "u+0007"


PACKS = st.lists(
    st.fixed_dictionaries(
        {
            "count": st.integers(1, 300),
            "fill_mg": st.integers(5_000, 500_000),
            "packaging": st.just(""),
        }
    ),
    min_size=1,
    max_size=6,
)


@given(PACKS)
def test_several_kinds_of_pack_need_what_so_many_equal_ones_need(
    packs: list[dict[str, int]],
) -> None:
    """Σ nᵢ(fᵢ + g) = N(f + g): the mean fill is rounded up by less than a milligram a pack."""
    count, fill = packs_together({**NOTHING, "packs": packs})
    apart = sum(p["count"] * (p["fill_mg"] + NUMBERS["giveaway"]) for p in packs)
    together = count * (fill + NUMBERS["giveaway"])
    assert 0 <= together - apart < count
    aside = need_kg(count, fill, 11.0, NUMBERS) - together / 1e6 / (1 - NUMBERS["dust_share"] / 1e6)
    assert 0 < aside < 1.5


def test_whole_and_nothing_said() -> None:
    """Everything said: nothing is missing. Nothing said: each is asked for once, in words."""
    whole = whole_said(SAID)
    assert missing(whole, due="2026-12-04", customer=True, drawing=False, approved=False) == []
    assert missing(whole, due="2026-12-04", customer=True, drawing=True, approved=False) == [
        "the yes to a proof of the picture as it stands, in this rod"
    ]
    asked = missing(whole_said({}), due="", customer=False, drawing=False, approved=False)
    assert len(asked) == len(set(asked)) == 20


@pytest.mark.parametrize("key", [key for key in SAID if key not in ("log_mg", "packs", "art")])
def test_each_answer_taken_away_is_asked_for(key: str) -> None:
    said = {**whole_said(SAID), key: NOTHING[key]}
    assert len(missing(said, due="2026-12-04", customer=True, drawing=False, approved=False)) >= 1


def test_every_stage_can_be_reached_and_left() -> None:
    assert set(NEXT) == set(STAGES)
    reached, found = {"asked"}, {"asked"}
    while found:
        found = {to for stage in found for to in NEXT[stage]} - reached
        reached |= found
    assert reached == set(STAGES)
    assert all(NEXT[stage] for stage in STAGES)


DAY = MakeDay("2026-11-30", "2026-11-30", frozenset(), 480, 990)


def verdict(**more: object) -> dict[str, object]:
    said = whole_said({**SAID, **more})
    enquiry = enquiry_of(said, DAY)
    assert enquiry is not None
    return without_picture(enquiry, said, NUMBERS, 2)


def test_without_a_picture_five_questions_are_answered_and_two_ask_for_one() -> None:
    found = verdict()
    replies = {q["id"]: q["reply"] for q in found["questions"]}  # type: ignore[attr-defined]
    assert replies == {
        **{"text": "yes", "lines": "ask", "parts": "ask", "sugar": "yes", "law": "yes"},
        **{"day": "yes", "variation": "yes"},
    }
    assert enquiry_of(whole_said({}), DAY) is None


@pytest.mark.parametrize(
    ("more", "words"),
    [
        # job.md, 3.5: N bags of 102 g take (N·0.102 + 0.15)/0.97 + 0.75 kg; 150 take 16.7 kg.
        ({"packs": [{"count": 150, "fill_mg": 100_000, "packaging": ""}]}, "150 bags need 16.6"),
        ({"text": "Élan", "no_text": 0}, "Small letters need a rod of 25 mm"),
        ({"contains": ""}, "Ask what flavour and colours contain"),
        ({"country": ""}, "Ask where it will be sold"),
        ({"accepts": ["mirror"]}, "Ask, in writing"),
    ],
)
def test_what_speaks_against_it_is_said_with_a_way_out(more: dict[str, object], words: str) -> None:
    found = verdict(**more)
    assert words in repr(found["questions"])
    if found["verdict"] != "yes":
        assert found["counter_offers"] != []
        assert "min to build" not in str(found["says"])


@given(
    st.integers(1, 8),
    st.integers(1, 2000),
    st.fixed_dictionaries(
        {key: st.integers(n.low, n.high) for key, n in counter_defaults().items()}
    ),
    st.booleans(),
)
def test_a_quote_adds_up_and_never_gets_cheaper_with_more(
    logs: int, packs: int, counter: dict[str, int], sent: bool
) -> None:
    white = plain_white(NUMBERS)

    def asked(logs: int, packs: int) -> int:
        given_ = charged(11_000_000, logs, NUMBERS, white, sour=True)
        found = quote(given_, packs, MINUTES, counter, SOURCES, sent=sent)
        assert found.cost == sum(line.money for line in found.lines)
        assert found.price == found.cost + sum(line.money for line in found.on_top)
        assert all(line.money >= 0 and line.source for line in (*found.lines, *found.on_top))
        return found.price

    assert asked(logs, packs) <= asked(logs + 1, packs)
    assert asked(logs, packs) <= asked(logs, packs + 1)


def test_a_quote_worked_by_hand() -> None:
    """10 kg at 1.10 = 11.00; 2 h of each of three hands at 26, 20, 18 = 128.00; front 1 h at 17;
    80 packs at 0.22 = 17.60; together 173.60; a quarter on it 43.40; 15 % of 217.00 = 32.55."""
    given_ = Charged(1, 11_000_000, 10_000_000, 0, 0, 0, 0)
    two = {role.id: Minutes(60 if role.id == "front" else 120, "x") for role in roles()}
    found = quote(given_, 80, two, COUNTER, SOURCES, sent=False)
    assert (found.cost, [line.money for line in found.on_top]) == (17_360, [4_340, 3_255])
    assert (found.price, found.a_pack) == (24_955, 312)


def test_the_charge_of_a_quote_conserves_dry_solids() -> None:
    """Identity of mass: dry sugar in = dry sugar of the log and what stays on the table."""
    portions = portions_of(PICTURE, SUGARS, NUMBERS)
    given_ = charged(11_000_000, 1, NUMBERS, portions, sour=True)
    dry = given_.sugar + given_.syrup * NUMBERS["syrup_solids"] / 1e6
    added = given_.acid + given_.flavour
    table = 11_000_000 / (1 - NUMBERS["table_loss"] / 1e6)
    # What is left is water: 1 to 4 % of hard candy (Hartel 2012), and 3 % stock of some colours.
    assert 0.955 < dry / (table - added) < 1.0
    twice = charged(11_000_000, 2, NUMBERS, portions, sour=False)
    assert (twice.sugar, twice.acid) == (2 * given_.sugar, 0)


def test_hints_name_the_law_of_the_place() -> None:
    assert all(law_hints(country) for country in COUNTRIES)
    assert law_hints("") == []
    # Regulation (EU) 2022/63 took E 171 off the list; Great Britain kept it.
    white = {c for c in COUNTRIES for words, _ in law_hints(c) if "E 171" in words}
    assert white == {"EU", "NI"}


def test_minutes_of_a_role_are_from_its_first_to_its_last_press() -> None:
    """Against the invented day as it was typed: each hand's own lines, by the clock."""
    sheet = demo_sheet("demo-finished")
    pressed = [
        (who, when(clock), what)
        for clock, _, who, what in LINES["demo-finished"]
        if what["kind"] in ("step_done", "reading_taken")
    ]
    steps = {
        f"{n}": {"state": "done", "at": at, "by": who} for n, (who, at, _) in enumerate(pressed)
    }
    found = minutes_by_role(sheet, {"steps": steps, "values": {}})
    roles_ = {person.id: person.role for person in PEOPLE}
    for role in {roles_[who] for who, _, _ in pressed}:
        moments = [at for who, at, _ in pressed if roles_[who] == role]
        assert found.get(role, 0) in (0, (max(moments) - min(moments) + 30_000) // 60_000)
    assert found["lead maker"] > 60


def test_the_middle_of_boils() -> None:
    assert [middle(some) for some in ([], [7], [9, 1, 5], [1, 2, 3, 4])] == [None, 7, 5, 2]
