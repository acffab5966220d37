"""What was said of an order (docs/contracts.md, section 7), and what nobody said yet.

Who the customer is stands nowhere in it: names, addresses and how to reach them are the
customer's own row, which can be erased.
"""

import unicodedata
from collections.abc import Mapping
from datetime import date
from typing import Any

from shop.plan.errors import OrderWrong
from shop.sentences import Sentence, listed

Said = dict[str, Any]
MOST_PACKS, MOST_WORDS = 6, 2000
READS = {
    "ltr": "in a row, left to right",
    "rtl": "in a row, right to left",
    "down": "from top to bottom",
    "ring": "round the edge, clockwise, tops outward",
}
PLACES = {"counter": "fetched at the shop", "address": "sent to the customer's address"}
COUNTRIES = {
    "EU": "European Union",
    "GB": "Great Britain",
    "NI": "Northern Ireland",
    "US": "United States",
}
NEEDS = {
    **{"vegan": "vegan", "kosher": "kosher", "halal": "halal", "no milk": "no milk"},
    **{"no nuts": "no nuts", "no soya": "no soya", "no wheat": "no wheat"},
    "no sulphites": "no sulphites",
}
APPROVES = {"customer": "the customer", "other": "whom they named, under 'Who it is for'"}
ACCEPTS = {
    "place": "the picture wanders from piece to piece",
    "size": "sizes and weights differ by about 7 %",
    "mirror": "one of the two faces is mirrored",
    "count": "the count in a pack differs by a piece or two",
}
FAILS = {"remake": "we make it again", "refund": "the money goes back"}
YES_NO = {"yes": "yes", "no": "no"}
CHOICES: dict[str, Mapping[str, str]] = {
    **{"reads": READS, "place": PLACES, "country": COUNTRIES, "approves": APPROVES},
    **{"fails": FAILS, "sour": YES_NO, "reorder": YES_NO},
    "needs_asked": {"none": "nothing special", "some": "as ticked"},
}
LISTS: dict[str, Mapping[str, str] | None] = {"needs": NEEDS, "accepts": ACCEPTS, "colours": None}
# Key → least and most; the least stands for 'not said'.
WHOLE = {
    **{"rod_um": (0, 40_000), "piece_um": (0, 300_000), "log_mg": (3_000_000, 25_000_000)},
    **{"ship_days": (-1, 30), "price": (-1, 100_000_000), "deposit": (-1, 100_000_000)},
    "no_text": (0, 1),
}
WORDS = {
    **{"art": MOST_WORDS, "text": 120, "language": 40, "flavour": 60, "contains": 200},
    **{"note": MOST_WORDS, "remake_by": 10, "needs_more": 200},
}
NOTHING: Said = {
    **dict.fromkeys(CHOICES, ""),
    **dict.fromkeys(WORDS, ""),
    **{key: [] for key in LISTS},
    **{key: low for key, (low, _) in WHOLE.items()},
    **{"log_mg": 11_000_000, "packs": []},
}


def whole_said(given: Mapping[str, Any]) -> Said:
    """Every key of `NOTHING`, with what was given of it; the text in Unicode's form NFC.

    Raises OrderWrong, naming the key, what was given and the limits.
    """
    said = {**NOTHING, **{key: value for key, value in given.items() if key in NOTHING}}
    for key, most in WORDS.items():
        said[key] = _words(key, said[key], most)
    for key, choices in CHOICES.items():
        _check_in(key, [said[key]] if said[key] else [], choices)
    for key, known in LISTS.items():
        _check_in(key, said[key], known)
    for key, limits in WHOLE.items():
        _check_whole(key, said[key], *limits)
    said["packs"] = [_pack(pack) for pack in said["packs"]]
    if len(said["packs"]) > MOST_PACKS:
        raise OrderWrong(
            Sentence("Kinds of pack"),
            len(said["packs"]),
            Sentence("at most {most}", most=MOST_PACKS),
        )
    return {**said, "remake_by": day_said("remake_by", said["remake_by"])}


def day_said(name: str, text: str) -> str:
    """A day as `2026-12-04`, or nothing. Raises OrderWrong."""
    if not text:
        return ""
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError as bad:
        raise OrderWrong(name, repr(text[:20]), Sentence("it must be a day as 2026-12-04")) from bad


def _words(key: str, value: Any, most: int) -> str:
    if not isinstance(value, str) or "\0" in value or len(value) > most:
        raise OrderWrong(
            key,
            repr(value)[:60],
            Sentence("it must be words, at most {most} characters", most=most),
        )
    return unicodedata.normalize("NFC", value)


def _check_in(key: str, values: Any, known: Mapping[str, str] | None) -> None:
    if not isinstance(values, list) or not all(isinstance(value, str) for value in values):
        raise OrderWrong(key, repr(values)[:60], Sentence("it must be a list of words"))
    strange = [value for value in values if known is not None and value not in known]
    if strange:
        raise OrderWrong(
            key,
            repr(strange[0])[:40],
            Sentence("it must be of {some}", some=", ".join(known or [])),
        )


def _check_whole(key: str, value: Any, low: int, high: int) -> None:
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise OrderWrong(
            key, value, Sentence("it must be from {low} to {high}", low=low, high=high)
        )


def _pack(pack: Any) -> Said:
    """One kind of pack: how many, what the label says each holds [mg], what it is packed in."""
    plain = {"count": pack["count"], "fill_mg": pack["fill_mg"], "packaging": pack["packaging"]}
    _check_whole(Sentence("How many packs"), plain["count"], 1, 100_000)
    _check_whole(Sentence("What is in a pack, mg"), plain["fill_mg"], 5_000, 10_000_000)
    plain["packaging"] = _words("packaging", plain["packaging"], 60)
    return plain


def packs_together(said: Said) -> tuple[int, int]:
    """All packs as so many equal ones that take the same sugar: count and fill [mg]; (0, 0) for
    none.

    Each pack, whatever it holds, is overfilled by the same giveaway, so N packs of the mean fill
    Σ nᵢfᵢ/N, rounded up, need what they need together.
    """
    count = sum(pack["count"] for pack in said["packs"])
    if not count:
        return 0, 0
    mass = sum(pack["count"] * pack["fill_mg"] for pack in said["packs"])
    return count, -(-mass // count)


def missing(said: Said, *, due: str, customer: bool, drawing: bool, approved: bool) -> list[str]:
    """What must still be said before it can be agreed, each in words; nothing: it can be."""
    asked = [
        (customer, Sentence("how to reach them")),
        (drawing or said["art"], Sentence("what it shows: a picture, or words for it")),
        (
            said["text"] or said["no_text"],
            Sentence("the text, exactly as it shall read, or that there is none"),
        ),
        (
            said["no_text"] or (said["language"] and said["reads"]),
            Sentence("language and direction of the text"),
        ),
        (said["colours"], Sentence("its colours, by swatch")),
        (said["flavour"], Sentence("the flavour")),
        (said["sour"], Sentence("sour or not")),
        (said["rod_um"] and said["piece_um"], Sentence("how thick the rod, how long the piece")),
        (said["packs"], Sentence("how many packs, and what is in each")),
        (all(p["packaging"] for p in said["packs"]), Sentence("what it is packed in")),
        (due, Sentence("the day it must be there")),
        (said["place"], Sentence("where it goes")),
        (said["country"], Sentence("the country it is sold in")),
        (
            said["needs_asked"],
            Sentence("whether it must be vegan, kosher, halal or free of something"),
        ),
        (said["contains"], Sentence("what flavour and colours contain, by their papers")),
        (said["approves"], Sentence("who says yes to the proof")),
        (
            len(said["accepts"]) == len(ACCEPTS),
            Sentence("yes to hand work: {open}", open=_open(said)),
        ),
        (said["price"] >= 0, Sentence("the price")),
        (said["deposit"] >= 0, Sentence("the deposit, 0 for none")),
        (said["reorder"], Sentence("whether it may be ordered again")),
        (said["fails"], Sentence("what happens if the one try fails")),
        (
            said["fails"] != "remake" or said["remake_by"],
            Sentence("by when it would be made again"),
        ),
        (
            not drawing or approved,
            Sentence("the yes to a proof of the picture as it stands, in this rod"),
        ),
    ]
    return [words for there, words in asked if not there]


def _open(said: Said) -> str:
    left = (words for key, words in ACCEPTS.items() if key not in said["accepts"])
    return listed((Sentence(words) for words in left), "; ")
