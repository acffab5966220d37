"""By the shapes of the record's own kinds: sound, odd and broken events, all of them usable."""

import json
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from shop.plan.canonical import DEEPEST, canonical, is_deep
from shop.record.check import decode
from shop.record.errors import NotAnEvent
from shop.record.kinds import ALL_SHAPES, FAR, body_fits
from tests.fuzz.decoders import SHEET, use

# Any text a program may be given, halves of surrogate pairs and NUL among them.
TEXT = st.text(st.characters(), max_size=12)
WHOLE = st.integers(-FAR + 1, FAR - 1)
ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4),
    max_leaves=12,
)
REFS = st.sampled_from(["kettle0:1", "kettle0:2", "table00:1", "none:1", ""])
NAMES = st.sampled_from(
    ["peak", "room", "portion", "degC", "kg", "rods", "maren", "greta", "water", "press", "a#1"]
)
PERSON = st.fixed_dictionaries({"id": TEXT, "name": TEXT, "role": TEXT})
VALUES: dict[str, st.SearchStrategy[Any]] = {
    "text": REFS | NAMES | TEXT,
    "int": st.sampled_from([0, 1, 10, 100, 1490]) | WHOLE,
    "texts": st.lists(NAMES, max_size=3),
    "people": st.lists(PERSON, max_size=3),
}


def bodies(kind: str) -> st.SearchStrategy[Any]:
    """A body of this kind, its optional fields there or not; one in some is of no kind."""
    forms = ALL_SHAPES[kind]
    must = {n: VALUES[form] for n, form in forms.items() if not form.endswith("?")}
    may = {n: VALUES[form[:-1]] for n, form in forms.items() if form.endswith("?")}
    return st.fixed_dictionaries(must, optional=may)


@st.composite
def events(draw: st.DrawFn) -> dict[str, Any]:
    """An event of any kind whose envelope and body fit."""
    kind = draw(st.sampled_from(sorted(ALL_SHAPES)))
    moment = draw(st.integers(0, 9) | st.integers(0, FAR - 1))
    places = {"station": NAMES, "step": st.sampled_from(sorted(SHEET["steps"])) | NAMES}
    places |= {"nth": st.integers(1, 5), "for": NAMES}
    return {
        **{"device": draw(st.sampled_from(["kettle0", "table00"])), "seq": draw(st.integers(1, 6))},
        **{"v": 1, "kind": kind, "batch": "b1", "by": draw(NAMES), "recorded": moment},
        **{"happened": moment, "known": "pressed", "within": 0, "bound": None},
        **{"offset": draw(st.none() | WHOLE), "hlc": [moment, draw(st.integers(0, 3))]},
        **draw(st.fixed_dictionaries({}, optional=places)),
        "body": draw(bodies(kind)),
    }


@given(st.lists(events(), max_size=8))
@settings(max_examples=150)
def test_all_that_fits_is_an_event_and_can_be_used(made: list[dict[str, Any]]) -> None:
    sound = []
    for event in made:
        assert body_fits(event["kind"], event["body"])
        try:
            sound.append(decode(json.dumps(event, ensure_ascii=False)))
        except NotAnEvent as bad:
            # Only what is no Unicode is none.
            assert bad.code == "text"
    use(SHEET, sound)


@given(st.lists(events(), min_size=1, max_size=4), st.data())
@settings(max_examples=150)
def test_what_is_put_in_any_place_is_refused_or_can_be_used(
    made: list[dict[str, Any]], data: st.DataObject
) -> None:
    event = data.draw(st.sampled_from(made))
    inside = data.draw(st.sampled_from([event, event["body"]]))
    inside[data.draw(st.sampled_from([*inside, "more"]))] = data.draw(ANYTHING)
    sound = []
    for one in made:
        try:
            sound.append(decode(json.dumps(one, ensure_ascii=False)))
        except NotAnEvent as bad:
            json.dumps(bad.say)
    use(SHEET, sound)


@given(events(), st.integers(1, 60))
@settings(max_examples=50)
def test_no_event_is_nested_deeper_than_all_may_be(event: dict[str, Any], depth: int) -> None:
    """A reader's stack never decides: the same event is one to everybody."""
    inner: Any = 1
    for _ in range(depth):
        inner = [inner]
    whole = {**event, "more": inner}
    line = json.dumps(whole)
    assert is_deep(whole) == (depth + 1 > DEEPEST)
    if is_deep(whole):
        try:
            decode(line)
        except NotAnEvent as bad:
            assert bad.code in ("json", "text")
        else:
            raise AssertionError(line)


@given(ANYTHING)
@settings(max_examples=200)
def test_canonical_text_is_one_text_of_a_value(value: Any) -> None:
    try:
        text = canonical(value)
    except (TypeError, UnicodeEncodeError):
        # What is no JSON, or no well-formed text, has no canonical form.
        return
    assert canonical(json.loads(text)) == text
