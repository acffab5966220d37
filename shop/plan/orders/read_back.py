"""A text read back sign by sign, so that a wrong letter is found before it is in the sugar.

Names are Unicode's own (UnicodeData.txt, by Python's `unicodedata`); text is in form NFC (UAX #15).
"""

import unicodedata
from dataclasses import dataclass

from shop.picture.lettering import BOTH_WAYS
from shop.sentences import Sentence

# Signs read for one another in many hands and types: after Unicode TS #39 (confusables), and for
# the digits common practice, no source.
ALIKE = ("O0Q", "Il1|", "S5", "B8", "Z2", "G6", "UV", "uv", "ce", "nh", "'’`´", "-–—", ".,")
# Two that read as one: common practice, no source.
PAIRS = {"rn": "m", "cl": "d", "vv": "w", "nn": "m", "ii": "ü"}
# The same seen from the other end of the rod, beside the capitals of the shop's own letters.
MORE_BOTH_WAYS = frozenset("ilovwx08 .:!|*+-–—=^\"'")
MARKS_BOTH_WAYS = frozenset("\u0308\u0302\u030a\u0304\u0307\u030c\u0306\u0323")
SCRIPTS = ("CYRILLIC", "GREEK", "ARMENIAN", "CHEROKEE", "FULLWIDTH", "MATHEMATICAL")
PLAIN = {
    **{" ": "space", "0": "the figure nought", "&": "and sign (ampersand)"},
    **{"'": "straight apostrophe", "’": "curly apostrophe", "-": "hyphen", ".": "full stop"},
}


@dataclass(frozen=True, slots=True)
class Sign:
    """One sign: as it is written, its Unicode name, the same in plain words, and its warnings."""

    sign: str
    name: str
    words: str
    one_way: bool
    beware: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ReadBack:
    """A whole text; `beware` is about it as a whole."""

    text: str
    signs: tuple[Sign, ...]
    beware: tuple[str, ...]

    @property
    def one_way(self) -> str:
        """Its signs that are turned on the other face, each once."""
        return " ".join(dict.fromkeys(sign.sign for sign in self.signs if sign.one_way))


def read_back(text: str) -> ReadBack:
    """The text in form NFC, sign by sign."""
    plain = unicodedata.normalize("NFC", text)
    return ReadBack(plain, tuple(_sign(sign, plain) for sign in plain), tuple(_whole(text, plain)))


def spelled(names: list[str]) -> str:
    """The text that these Unicode names spell: what `read_back` named. Raises KeyError."""
    return "".join(
        chr(int(name[2:], 16)) if name.startswith("U+") else unicodedata.lookup(name)
        for name in names
    )


def name_of(sign: str) -> str:
    """Unicode's name of a sign; its number where it has none, as control characters."""
    return unicodedata.name(sign, f"U+{ord(sign):04X}")


def words_of(sign: str) -> str:
    """`capital E with acute`, `small i`, `the figure 5`, `space`."""
    if sign in PLAIN:
        return PLAIN[sign]
    name = name_of(sign)
    if name.startswith("DIGIT "):
        return f"the figure {sign}"
    for case in ("CAPITAL", "SMALL"):
        before, found, after = name.partition(f" {case} LETTER ")
        if found:
            letter, _, accent = after.partition(" WITH ")
            script = "" if before == "LATIN" else f"{before.capitalize()} "
            said = letter if len(letter) == 1 and not script else f"{script}{letter.capitalize()}"
            said = said if case == "CAPITAL" or script else said.lower()
            return f"{case.lower()} {said}" + (f" with {accent.lower()}" if accent else "")
    return name.lower()


def one_way(sign: str) -> bool:
    """Whether a sign looks otherwise from the other end of the rod (left and right changed)."""
    apart = unicodedata.normalize("NFD", sign)
    same = apart[0] in BOTH_WAYS or apart[0] in MORE_BOTH_WAYS
    return not same or not set(apart[1:]) <= MARKS_BOTH_WAYS


def unseen(sign: str) -> bool:
    """Whether nothing of it can be seen or laid: control and format characters, odd spaces."""
    category = unicodedata.category(sign)
    odd_space = category == "Zs" and sign != " "
    return odd_space or category in {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def _sign(sign: str, text: str) -> Sign:
    return Sign(sign, name_of(sign), words_of(sign), one_way(sign), tuple(_beware(sign, text)))


def _beware(sign: str, text: str) -> list[str]:
    """Why to look twice at a sign."""
    found: list[str] = []
    if unseen(sign):
        found.append(Sentence("can't be seen: type the text anew"))
    if script := next((s for s in SCRIPTS if name_of(sign).startswith(s)), ""):
        found.append(
            Sentence(
                "from the {script} letters, though it may look like ours",
                script=script.capitalize(),
            )
        )
    alike = "".join(group.replace(sign, "") for group in ALIKE if sign in group)
    if alike:
        found.append(f"not {' or '.join(alike)}")
    return found


def _whole(given: str, text: str) -> list[str]:
    """Why to look twice at the text as a whole."""
    found: list[str] = []
    if given != text:
        found.append(
            Sentence("Some letters came in pieces, letter and accent apart; they are put together.")
        )
    if text != text.strip():
        found.append(Sentence("It begins or ends with a space."))
    if "  " in text:
        found.append(Sentence("There are two spaces one after the other."))
    found += [
        Sentence("'{pair}' reads as '{one}'.", pair=pair, one=one)
        for pair, one in PAIRS.items()
        if pair in text
    ]
    if any(sign.islower() for sign in text) and any(sign.isupper() for sign in text):
        found.append(Sentence("Capitals and small letters are mixed: is that meant?"))
    return found
