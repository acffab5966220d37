"""The bench calculator against published figures, through its own edge: texts with units."""

import io
import json

import pytest
from django.core.management import CommandError, call_command

from shop.craft.errors import CraftError
from shop.craft.glass import glass_transition
from shop.craft.reckon import CALCULATIONS, AskedWrong, reckon
from tests.craft.reckon_cases import CASES


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
        ("pack", "nominal=125g piece=2g jurisdiction=FR", "choose EU, NI, GB, US"),
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
