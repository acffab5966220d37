"""The bench calculator as a page of the desk."""

from django.test import Client

from shop.craft.reckon import CALCULATIONS

WRONG, GONE = 400, 404


def test_every_calculation_opens_with_an_example_that_answers(lead: Client) -> None:
    for name, calculation in CALCULATIONS.items():
        answer = lead.get(f"/office/reckon/{name}/")
        page = answer.content.decode()
        assert answer.status_code == 200, name
        assert 'class="lines results"' in page, name
        for option in calculation.options:
            assert f'id="o-{option.name}"' in page, option


def test_the_answer_stands_with_its_unit_band_and_source(lead: Client) -> None:
    page = lead.get(
        "/office/reckon/boil/", {"solids": "97 %", "altitude": "1609 m"}
    ).content.decode()
    assert "142.6\u00a0°C (140.2 to 145.0)" in page
    assert "Starzak and Peacock" in page
    assert "<polyline" in page


def test_a_sheet_is_drawn_as_it_cools_with_the_working_temperatures(lead: Client) -> None:
    given = {"thickness": "15 mm", "after": "20 min"}
    page = lead.get("/office/reckon/sheet-cooling/", given).content.decode()
    assert page.count("<polyline") == 3
    assert ">pull</text>" in page


WRONG_WAYS = [
    ("boil", {"solids": "97"}, "97 has no unit"),
    ("boil", {"solids": "99.9 %"}, "0.995"),
    ("boil", {"altitude": "1 m"}, "needs --solids"),
    ("moisture", {"temperature": "1490 °C"}, "1490"),
    ("charge", {"cooked": "-3 kg", "moisture": "3 %"}, "-3 kg"),
    ("glass", {"moisture": "\ufffd\x00"}, "not a number"),
    ("cut", {"rod-length": "x" * 5000}, "not a number"),
]


def test_what_cannot_be_reckoned_is_said_and_what_was_typed_stays(lead: Client) -> None:
    for name, given, said in WRONG_WAYS:
        answer = lead.get(f"/office/reckon/{name}/", given)
        page = answer.content.decode()
        assert answer.status_code == WRONG, given
        assert said in page
        assert all(text[:20] in page for text in given.values())


def test_a_calculation_that_is_not_there(lead: Client) -> None:
    assert lead.get("/office/reckon/parsnip/").status_code == GONE
