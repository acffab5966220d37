"""A page of the office is read in the units of whoever sits there; what is kept is not touched."""

import json
import re
from decimal import Decimal

import pytest
from django.test import Client

from shop.screens.office import units
from shop.store.people import people, set_person
from shop.store.shapes import ShopInfo
from shop.store.shops import say_who, set_settings
from tests.office.conftest import user_of

RECORD, SHEET = "/office/batch/demo-finished/", "/office/batch/demo-finished/sheet/"
# 1 lb and 1 in, exactly: international yard and pound agreement of 1959; NIST SP 811, Appendix B.
POUND_MG, INCH_UM = Decimal("453592.37"), Decimal(25400)


def desk_of(demo: ShopInfo, name: str, place: int, reads: str) -> Client:
    """A desk whose user is a person with these units."""
    user, known = user_of(name, demo), people(demo.id)[place]
    set_person(shop_id=demo.id, key=known.key, name=known.name, role=known.role, units=reads)
    say_who(shop_id=demo.id, user=name, person=known.key, by=name)
    desk = Client()
    desk.force_login(user)
    return desk


def shown(desk: Client, address: str) -> str:
    return desk.get(address).content.decode().replace("\u202f", " ")


def test_two_desks_in_one_process_read_each_their_own(demo: ShopInfo) -> None:
    us, metric = desk_of(demo, "anna", 0, "us"), desk_of(demo, "otto", 1, "metric")
    for _ in range(2):
        there, here = shown(us, RECORD), shown(metric, RECORD)
        # 9.69 kg of bags, a peak of 152.3 °C as read.
        assert ("21.36 lb" in there, "306.1 °F" in there, "9.69 kg" in there) == (True, True, False)
        assert ("9.69 kg" in here, "152.3 °C" in here, "21.36 lb" in here) == (True, True, False)
    assert "°F" in shown(us, SHEET)
    assert "°F" not in shown(metric, SHEET)
    assert " lb" in shown(us, "/office/store-room/")


def test_nothing_is_left_for_the_next_request(demo: ShopInfo) -> None:
    us = desk_of(demo, "anna", 0, "us")
    shown(us, RECORD)
    assert not units.is_metric()
    Client().get("/office/sign-in/")
    assert units.is_metric()


def test_who_says_nothing_reads_in_the_shops_units(demo: ShopInfo) -> None:
    desk = desk_of(demo, "anna", 0, "")
    assert "21.36 lb" not in shown(desk, RECORD)
    set_settings(shop_id=demo.id, name=demo.name, settings={**demo.settings, "units": "us"})
    assert "21.36 lb" in shown(desk, RECORD)


def test_a_reading_stays_as_it_was_taken_and_files_are_the_same_for_everybody(
    demo: ShopInfo,
) -> None:
    us, metric = desk_of(demo, "anna", 0, "us"), desk_of(demo, "otto", 1, "metric")
    assert "152.3 degC" in shown(us, RECORD)
    for name in ("record.json", "record.csv"):
        told = [b"".join(desk.get(f"{RECORD}{name}")) for desk in (us, metric)]
        assert told[0] == told[1]
    record = json.loads(b"".join(us.get(f"{RECORD}record.json")))
    assert record["yield"] == pytest.approx(886_600, abs=500)


@pytest.mark.parametrize("mg", [1, 453_592, 453_593, 10_930_000, 14_370_000, 11_000_001])
def test_pounds_are_the_exact_pound(mg: int) -> None:
    units.read_in("us")
    try:
        said = re.sub(r"[^\d.]", "", units.kilos(mg))
        assert abs(Decimal(said) * POUND_MG - mg) <= POUND_MG * Decimal("0.005")
        inches = units.say(mg, "um").split("\u202f")[0]
        assert abs(Decimal(inches) * INCH_UM - mg) <= INCH_UM * Decimal("0.005")
    finally:
        units.read_in("metric")
