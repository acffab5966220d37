"""The bench calculator against published figures, through its own edge: texts with units."""

import io
import json

import pytest
from CoolProp.HumidAirProp import HAPropsSI
from django.core.management import CommandError, call_command

from shop.craft.errors import CraftError
from shop.craft.glass import glass_transition
from shop.craft.reckon import CALCULATIONS, AskedWrong, reckon

# Humid air by ASHRAE RP-1485 as CoolProp has it: an equation of its own, apart from IF97.
DEW_POINT = HAPropsSI("D", "T", 296.15, "R", 0.45, "P", 101_325.0) - 273.15

# name, options, result, expected, tolerance, where the expected figure comes from
CASES = [
    (
        "boil",
        "solids=0% pressure=101.418kPa",
        "water_boiling_point",
        100.0,
        0.01,
        "IAPWS R7-97(2012), table 35 region",
    ),
    (
        "boil",
        "solids=0% pressure=83.435kPa",
        "water_boiling_point",
        94.62,
        0.02,
        "IAPWS-IF97, computed with CoolProp",
    ),
    (
        "boil",
        "solids=90% pressure=101.325kPa",
        "boiling_point",
        122.40,
        0.05,
        "Starzak and Peacock 1997, computed with CoolProp's steam",
    ),
    ("boil", "solids=90%", "water_activity", 0.4729, 0.0005, "Starzak and Peacock 1997"),
    ("boil", "solids=97%", "boiling_point", 149.41, 0.1, "Starzak and Peacock 1997"),
    ("boil", "solids=98%", "boiling_point", 154.18, 0.1, "Starzak and Peacock 1997"),
    (
        "boil",
        "solids=97% altitude=1609m",
        "boiling_point",
        142.63,
        0.1,
        "Starzak and Peacock 1997 with U.S. Standard Atmosphere 1976",
    ),
    (
        "boil",
        "solids=97% water-boils-at=94.62degC",
        "boiling_point",
        142.63,
        0.1,
        "the same by a boiling-water reading",
    ),
    (
        "boil",
        "solids=97% glucose-share=40% de=42",
        "boiling_point",
        148.1,
        0.1,
        "mean molar mass of glucose syrup; computed independently, not validated",
    ),
    ("moisture", "temperature=150degC", "moisture", 2.88, 0.03, "Starzak and Peacock 1997"),
    ("moisture", "temperature=302degF", "moisture", 2.88, 0.03, "the same in Fahrenheit"),
    (
        "charge",
        "cooked=11.34kg moisture=2.5% sucrose-share=60% syrup-solids=80.3% water-per-sucrose=30%",
        "sucrose",
        6.634,
        0.002,
        "mass balance",
    ),
    ("charge", "cooked=25lb moisture=2.5%", "syrup", 5.508, 0.002, "mass balance, in pounds"),
    ("charge", "cooked=11.34kg moisture=2.5%", "water", 1.990, 0.002, "mass balance"),
    ("charge", "cooked=11.34kg moisture=2.5%", "evaporated", 2.792, 0.002, "mass balance"),
    ("charge", "cooked=11.34kg moisture=2.5%", "yield", 80.25, 0.02, "mass balance"),
    (
        "thermometer",
        "ice=0.4degC boil=95.6degC water-boils-at=94.62degC wanted=142.63degC",
        "reading",
        143.90,
        0.05,
        "a straight line through two points",
    ),
    ("dye", "portion=1.2kg dose=150mg/kg purity=87%", "powder", 206.9, 0.1, "mass balance"),
    (
        "dye",
        "mix=6.0kg@0mg/kg,2.2kg@400mg/kg,1.6kg@250mg/kg,1.54kg@0mg/kg",
        "piece_level",
        112.9,
        0.1,
        "mass balance",
    ),
    ("dye", "mix=6.0kg@0mg/kg,2.2kg@400mg/kg", "worst_portion", 400, 0, "by definition"),
    (
        "sheet-cooling",
        "thickness=15mm conductivity=0.3W/m/K density=1430kg/m^3 "
        "heat-capacity=1900J/kg/K below=200W/m^2/K table=20degC start=145degC after=300s "
        "above-adiabatic=yes",
        "top",
        133.60,
        0.2,
        "series solution and Crank–Nicolson",
    ),
    (
        "sheet-cooling",
        "thickness=15mm below=200W/m^2/K table=20degC start=145degC after=5min above-adiabatic=yes",
        "bottom",
        37.80,
        0.2,
        "series solution and Crank–Nicolson",
    ),
    (
        "sheet-cooling",
        "thickness=1.5cm table=20degC start=145degC after=300s above-adiabatic=yes",
        "mean",
        101.60,
        0.2,
        "series solution and Crank–Nicolson",
    ),
    ("glass", "moisture=3%", "glass_transition", 37.0, 0.1, "Gordon and Taylor; k from memory"),
    ("air", "clear=1500kg/m^3 pulled=1150kg/m^3", "air_fraction", 23.33, 0.05, "definition"),
    ("air", "clear=1.5g/cm^3 pulled=1150kg/m^3", "overrun", 30.43, 0.05, "definition"),
    (
        "section",
        "parts=6.00kg@1500kg/m^3,5.34kg@1150kg/m^3 log-diameter=180mm",
        "volume",
        8.643,
        0.001,
        "conservation of volume",
    ),
    (
        "section",
        "parts=6.00kg@1500kg/m^3,5.34kg@1150kg/m^3 log-diameter=180mm",
        "density",
        1312,
        1,
        "conservation of volume",
    ),
    (
        "section",
        "parts=6.00kg@1500kg/m^3,5.34kg@1150kg/m^3 log-diameter=180mm",
        "log_length",
        339.7,
        0.5,
        "conservation of volume",
    ),
    (
        "draw",
        "log-diameter=180mm log-length=339.7mm rod-diameter=16mm feature=6mm",
        "length_ratio",
        126.56,
        0.01,
        "conservation of volume",
    ),
    (
        "draw",
        "log-diameter=180mm log-length=339.7mm rod-diameter=16mm",
        "rod_length",
        42.99,
        0.05,
        "conservation of volume",
    ),
    (
        "draw",
        "log-diameter=180mm log-length=339.7mm rod-diameter=16mm feature=6mm",
        "drawn_feature",
        0.533,
        0.001,
        "conservation of volume",
    ),
    (
        "cut",
        "rod-length=42.99m rod-diameter=16mm density=1312kg/m^3 piece-length=9mm",
        "pieces",
        4776,
        1,
        "conservation of volume",
    ),
    (
        "cut",
        "rod-length=42.99m rod-diameter=16mm density=1312kg/m^3 piece-length=9mm",
        "piece_mass",
        2.374,
        0.005,
        "conservation of volume",
    ),
    ("pack", "nominal=125g piece=2.374g", "pieces", 53, 0, "rounding up"),
    (
        "pack",
        "nominal=125g piece=2.374g jurisdiction=EU",
        "tolerable_error",
        5.7,
        0,
        "Directive 76/211/EEC, Annex I 2.4",
    ),
    ("pack", "nominal=25g piece=2g", "tolerable_error", 2.3, 0, "Directive 76/211/EEC"),
    (
        "pack",
        "nominal=250g piece=2g jurisdiction=UK",
        "tolerable_error",
        9.0,
        0,
        "Directive 76/211/EEC; UK outline",
    ),
    ("pack", "nominal=400g piece=2g", "tolerable_error", 12.0, 0, "Directive 76/211/EEC"),
    ("pack", "nominal=454g piece=2g", "tolerable_error", 13.7, 0, "Directive 76/211/EEC"),
    (
        "pack",
        "nominal=113g piece=2g jurisdiction=US",
        "tolerable_error",
        7.2,
        0,
        "NIST Handbook 133, Table 2-5, from memory",
    ),
    (
        "mark",
        "sea-level=149.41degC altitude=1609m",
        "take_off",
        142.63,
        0.1,
        "Starzak and Peacock 1997 with U.S. Standard Atmosphere 1976",
    ),
    (
        "mark",
        "sea-level=149.41degC pressure=83.435kPa",
        "by_subtracting",
        149.41 - (99.97 - 94.62),
        0.02,
        "Utah State University Extension 2006: less what water boils lower by (IAPWS-IF97)",
    ),
    ("peak", "temperature=150degC dry=10kg", "moisture", 2.88, 0.03, "Starzak and Peacock 1997"),
    ("peak", "temperature=150degC dry=10kg", "mass", 10 / 0.9712, 0.004, "mass balance"),
    (
        "keep",
        "moisture=3% humidity=45% room=23degC",
        "dew_point",
        DEW_POINT,
        0.1,
        "ASHRAE RP-1485 humid air through CoolProp",
    ),
    (
        "grain",
        "solids=97% sucrose-share=100% temperature=20degC",
        "can_be_held",
        66.6,
        0.1,
        "Charles 1960, sugar tables",
    ),
    (
        "invert",
        "temperature=110degC time=10min ph=4",
        "inverted",
        11,
        2,
        "Royal Society rate at 24.7 °C carried on with 108 to 109.2 kJ/mol",
    ),
    (
        "iron",
        "heat=1.23MJ iron=300kg",
        "rise",
        9,
        0.5,
        "470 J/kg K of carbon steel, engineering tables",
    ),
    ("flavour", "on-table=11kg share=1%", "dose", 110, 1e-9, "1 %, mass balance"),
    (
        "dye",
        "portion=1.2kg dose=150mg/kg strength=3%",
        "liquid",
        6.0,
        1e-9,
        "mass balance",
    ),
    ("skin", "skin=58degC core=80degC", "core_hotter", 22, 1e-9, "a difference"),
    (
        "roll",
        "rods=37 interval=48s hands=3",
        "interval_for_hands",
        70,
        2,
        "common practice, no source: three people take 70 s a rod",
    ),
]


def options(text: str) -> dict[str, str]:
    return dict(pair.split("=", 1) for pair in text.split())


@pytest.mark.parametrize(("name", "given", "result", "expected", "tolerance", "source"), CASES)
def test_a_published_figure(
    name: str, given: str, result: str, expected: float, tolerance: float, source: str
) -> None:
    assert source
    assert reckon(name, options(given)).results[result].value == pytest.approx(
        expected, abs=max(tolerance, 1e-9)
    )


def test_the_area_shares_are_a_list_that_sums_to_the_whole() -> None:
    parts = "6.00kg@1500kg/m^3,5.34kg@1150kg/m^3"
    found = reckon("section", {"parts": parts, "log-diameter": "180mm"}).results["area_shares"]
    assert found.value == pytest.approx([46.3, 53.7], abs=0.1)


def test_wlf_at_fifty_kelvin_above_the_glass() -> None:
    # Williams, Landel and Ferry's universal constants: 12 − 17.44 · 50/101.6.
    tg = glass_transition(0.03)
    given = {"moisture": "3%", "temperature": f"{tg + 50} degC"}
    found = reckon("glass", given).results["log10_viscosity"]
    assert found.value == pytest.approx(3.417, abs=0.001)
    assert found.low is not None and found.high is not None
    assert found.high - found.low > 0.4


@pytest.mark.parametrize(
    ("name", "given", "said"),
    [
        ("boil", "solids=97", "no unit"),
        ("boil", "solids=97kg", "not given in"),
        ("boil", "solids=ninety%", "not a number"),
        ("boil", "solids=97parsnips", "not a unit known here"),
        ("boil", "", "needs --solids"),
        ("boil", "solids=99.9%", "0.995"),
        ("boil", "solids=97% pressure=1kPa", "50000"),
        ("boil", "solids=97% altitude=100m pressure=100kPa", "Give one of"),
        ("boil", "solids=97% colour=red", "no option colour"),
        ("moisture", "temperature=150K", "degC"),
        ("moisture", "temperature=150delta_degC", "not given in"),
        ("moisture", "temperature=300degC", "holds from"),
        ("charge", "cooked=-1kg moisture=2%", "-1 kg"),
        ("charge", "cooked=11kg moisture=90%", "0.9"),
        (
            "thermometer",
            "ice=0degC boil=92degC water-boils-at=100degC wanted=149degC",
            "take another",
        ),
        ("dye", "portion=1kg", "needs --portion and --dose"),
        ("dye", "mix=6.0kg", "not written as"),
        ("dye", "mix=1kg@40mg/kg colour=E171", "may not be used"),
        ("glass", "moisture=40%", "0.3"),
        ("air", "clear=1500kg/m^3 pulled=1600kg/m^3", "never denser"),
        ("draw", "log-diameter=14mm log-length=1m rod-diameter=150mm", "rod diameter"),
        ("cut", "rod-length=1m rod-diameter=0mm density=1300kg/m^3 piece-length=9mm", "diameter"),
        ("pack", "nominal=125g piece=2g jurisdiction=FR", "choose EU, UK, US"),
        ("pack", "nominal=900g piece=2g jurisdiction=US", "488.9"),
        ("boil", "solids=97% forecast=1010hPa", "give altitude too"),
        ("mark", "sea-level=149degC carry-over=30K", "0 to 20"),
        ("fire", "dry=10kg water=1kg to=170degC power=8kW", "holds from"),
        ("invert", "temperature=110degC time=10min ph=1", "pH is 1"),
        ("keep", "moisture=3% humidity=95%", "0.75"),
        ("roll", "rods=0 interval=48s", "rods is 0"),
        ("bake", "", "not reckoned here"),
    ],
)
def test_what_cannot_be_reckoned_is_named(name: str, given: str, said: str) -> None:
    with pytest.raises(CraftError, match=said.replace(".", r"\.")):
        reckon(name, options(given))


def test_a_colour_over_its_limit_is_said_to_be() -> None:
    # Regulation (EU) 232/2012: 35 mg/kg, from memory.
    answer = reckon("dye", {"mix": "1kg@40mg/kg", "colour": "E110", "jurisdiction": "EU"})
    assert answer.results["limit"].value == 35
    assert "over the limit" in answer.notes[0]
    assert "verify before use" in answer.notes[0]


def test_every_calculation_has_words_and_units() -> None:
    for calculation in CALCULATIONS.values():
        assert calculation.says
        for option in calculation.options:
            assert option.says or option.name in ("de",)


def said(*arguments: str) -> str:
    """What the command prints."""
    out = io.StringIO()
    call_command("reckon", *arguments, stdout=out)
    return out.getvalue()


def test_the_command_prints_a_table_and_json() -> None:
    found = json.loads(said("boil", "--solids", "97%", "--altitude", "1609m", "--json"))
    assert found["results"]["boiling_point"]["value"] == pytest.approx(142.63, abs=0.1)
    assert found["results"]["boiling_point"]["unit"] == "degC"
    assert found["sources"]
    assert found["notes"]
    assert "6.634 kg" in said("charge", "--cooked", "11.34kg", "--moisture", "2.5%")
    adiabatic = ("--thickness", "15mm", "--table", "20degC", "--after", "300s", "--above-adiabatic")
    assert "133.6 °C" in said("sheet-cooling", *adiabatic)
    with pytest.raises(CommandError, match="97 has no unit"):
        said("boil", "--solids", "97")
    with pytest.raises(AskedWrong):
        reckon("nothing", {})
