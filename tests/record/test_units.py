"""Laws of units, in exact rationals: what is read, kept and shown again is one number.

1 lb = 0.453 592 37 kg and 1 in = 25.4 mm, exactly: international yard and pound agreement of
1959. Also 1 oz = 1/16 lb, 1 mmHg = 133.322 387 415 Pa (13 595.1 kg/m³ · 9.806 65 m/s² · 1 mm)
and °C = (°F - 32)/1.8: NIST Special Publication 811 (2008), appendix B, from memory.
"""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import settings as how
from hypothesis import strategies as st
from playwright.sync_api import Page

from shop.demo.scenario import demo_sheet
from shop.record.reading import fixed_value, parts, to_unit
from shop.record.words import say
from tests.record.conftest import in_browser

RECORDS: dict[str, dict[str, Any]] = demo_sheet("demo-planned")["records"]
CASES = [(what, unit) for what, record in RECORDS.items() for unit in record["units"]]
POUND = Fraction(45_359_237, 10**8) * 10**6
MMHG = Fraction("13595.1") * Fraction("9.80665") / 1000
# One of each unit in the fixed unit of its kind: mg, µm, ppm, Pa, g/m³ and plain.
FACTORS = {
    **{"kg": Fraction(10**6), "g": Fraction(1000), "lb": POUND, "oz": POUND / 16},
    **{"mm": Fraction(1000), "in": Fraction("25.4") * 1000, "%": Fraction(10_000)},
    **{"hPa": Fraction(100), "mmHg": MMHG, "kg/m3": Fraction(1000), "of 5": Fraction(1)},
    "g/cm3": Fraction(10**6),
}


def exactly(unit: str, value: Fraction) -> Fraction:
    """The value [fixed unit], by the definitions alone."""
    if unit == "degC":
        return value * 1000
    if unit == "degF":
        return (value - 32) / Fraction("1.8") * 1000
    return value * FACTORS[unit]


def back(unit: str, fixed: Fraction) -> Fraction:
    if unit == "degF":
        return fixed / 1000 * Fraction("1.8") + 32
    return fixed / exactly(unit, Fraction(1))


def entries(what: str, unit: str) -> st.SearchStrategy[tuple[int, int]]:
    """What can be entered on this record's own scale, between its limits."""
    record = RECORDS[what]
    d = parts(record, unit)
    low, high = (int(back(unit, Fraction(record[name])) * d) for name in ("low", "high"))
    return st.tuples(st.integers(low, high), st.just(d))


READ = st.sampled_from(CASES).flatmap(
    lambda case: st.tuples(st.just(case[0]), st.just(case[1]), entries(*case))
)
TEMPERATURES = [what for what, record in RECORDS.items() if record["kind"] == "temperature"]


def test_the_sheet_has_every_unit() -> None:
    assert {unit for _, unit in CASES} == {*FACTORS, "degC", "degF"}


@given(READ)
@how(deadline=None, max_examples=2000)
def test_what_is_read_is_kept_as_the_nearest_whole_fixed_unit(
    read: tuple[str, str, tuple[int, int]],
) -> None:
    what, unit, (n, d) = read
    exact = exactly(unit, Fraction(n, d))
    assert -Fraction(1, 2) <= exact - fixed_value(RECORDS[what], unit, n, d) < Fraction(1, 2)


@given(READ)
@how(deadline=None, max_examples=2000)
def test_what_was_read_is_shown_again_as_the_same_number(
    read: tuple[str, str, tuple[int, int]],
) -> None:
    what, unit, (n, d) = read
    record = RECORDS[what]
    assert to_unit(record, unit, fixed_value(record, unit, n, d)) == {"n": n, "d": d}


@given(READ, st.data())
@how(deadline=None, max_examples=500)
def test_more_on_the_instrument_is_never_less_in_the_record(
    read: tuple[str, str, tuple[int, int]], data: st.DataObject
) -> None:
    what, unit, (n, d) = read
    more = data.draw(st.integers(0, 10**6))
    record = RECORDS[what]
    assert fixed_value(record, unit, n + more, d) >= fixed_value(record, unit, n, d)


@pytest.mark.parametrize(("what", "unit"), CASES)
def test_no_scale_is_coarser_than_five_presses_of_the_records_own(what: str, unit: str) -> None:
    """Else a key for another unit, pressed and pressed back, would leave another reading."""
    record = RECORDS[what]
    step = exactly(unit, Fraction(1, parts(record, unit))) - exactly(unit, Fraction(0))
    own = record["unit"]
    press = exactly(own, Fraction(record["press"], record["d"])) - exactly(own, Fraction(0))
    assert step <= 5 * press


@given(st.sampled_from(TEMPERATURES), st.integers(-400, 4000), st.integers(0, 500))
@how(deadline=None)
def test_a_degree_celsius_more_is_nine_fifths_fahrenheit(what: str, tenths: int, more: int) -> None:
    """5 °C more are 9 °F more, to the last bit, wherever on the scale."""
    record = RECORDS[what]
    low, high = (fixed_value(record, "degF", tenths + step, 10) for step in (0, 90 * more))
    assert high - low == 5000 * more
    assert say(5000 * more, "mK", "degF", 0) == f"{9 * more}\u202f°F"
    assert say(1000, "mK", "degF") == "1.8\u202f°F"


# Published pairs: NIST SP 811 and the fixed points of water and both scales' crossing.
PAIRS = [
    ("temperature", "degF", (212, 1), 100_000),
    ("temperature", "degF", (32, 1), 0),
    ("temperature", "degF", (-40, 1), -40_000),
    ("mass", "lb", (1, 1), 453_592),
    ("mass", "lb", (100, 1), 45_359_237),
    ("mass", "oz", (16, 1), 453_592),
    ("mass", "oz", (1, 1), 28_350),
    ("length", "in", (1, 1), 25_400),
    ("length", "in", (12, 1), 304_800),
    ("pressure", "mmHg", (760, 1), 101_325),
]


@pytest.mark.parametrize(("kind", "unit", "read", "fixed"), PAIRS)
def test_published_pairs(kind: str, unit: str, read: tuple[int, int], fixed: int) -> None:
    record = next(one for one in RECORDS.values() if one["kind"] == kind)
    assert fixed_value(record, unit, *read) == fixed


BOTH = """return given.cases.map(([what, unit, n, d]) => {
  const record = given.records[what], fixed = reading.fixedValue(record, unit, n, d);
  return [fixed, reading.parts(record, unit), reading.toUnit(record, unit, fixed),
    Object.keys(record.units).map((other) => reading.toUnit(record, other, fixed))];
})"""


def spread(what: str, unit: str) -> list[tuple[str, str, int, int]]:
    """Fifteen readings from limit to limit, those a step beside nought, and one too fine."""
    record = RECORDS[what]
    d = parts(record, unit)
    low, high = (int(back(unit, Fraction(record[name])) * d) for name in ("low", "high"))
    some = [low + (high - low) * i // 14 for i in range(15)]
    return [*((what, unit, n, d) for n in (*some, -1, 0, 1)), (what, unit, low + 1, 1000)]


def test_the_phone_reads_and_shows_the_same(page: Page) -> None:
    cases = [read for case in CASES for read in spread(*case)]
    answers = in_browser(page, BOTH, {"cases": cases, "records": RECORDS})
    for (what, unit, n, d), answer in zip(cases, answers, strict=True):
        record = RECORDS[what]
        fixed = fixed_value(record, unit, n, d)
        others = [to_unit(record, other, fixed) for other in record["units"]]
        mine = [fixed, parts(record, unit), to_unit(record, unit, fixed), others]
        assert answer == mine, (what, unit, n, d)
