"""One boil from set-up to the last bag, on two phones, the network gone for half of it."""

from __future__ import annotations

import json
import re
import time
from collections import Counter
from pathlib import Path

from playwright.sync_api import Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import CHROMIUM, FLAGS, wait_true
from tests.play.conftest import Loft, phone
from tests.play.crew import CrewPhone
from tests.programs import Program, manage

SET_UP = {
    "Boiling water": ("99.1", "°C"),
    "Room": ("23", "°C"),
    "Room humidity": ("43", "%"),
    "Air pressure": ("996", "hPa"),
    "Sugar": ("8.42", "kg"),
    "Glucose syrup": ("2.95", "kg"),
    "Water": ("3.00", "kg"),
    "Table": ("31", "°C"),
}
TABLE = {
    "Sheet, middle": ("128", "°C"),
    "Acid": ("110", "g"),
    "Flavour": ("28", "g"),
    "Yellow portion": ("1230", "g"),
    "Brown portion": ("570", "g"),
    "Wings portion": ("85", "g"),
    "Casing portion": ("1890", "g"),
}
BLOCK = {"Log": ("10.93", "kg"), "Log length": ("477", "mm"), "Girth": ("474", "mm")}
ROLLER = {
    **{"Head binned": ("340", "g"), "Rod gauge": ("14.1", "mm"), "Tail": ("410", "g")},
    **{"Rod, widest less narrowest": ("0.4", "mm"), "Bad pieces, first rack": ("0", "g")},
}
CUT = {"Dust and chips": ("326", "g"), "Trial cuts": ("50", "g")}
PACKING = {"Humidity at packing": ("41", "%"), "Kept sample": ("100", "g")}


def test_a_whole_day(playwright: Playwright, loft: Loft, home: Path) -> None:
    with loft.open() as program:
        kettle = phone(playwright, loft, home, "kettle")
        table = phone(playwright, loft, home, "table")
        kettle.join(add_phone(program.data)["code"], "Maren")
        table.join(add_phone(program.data)["code"], "Tobit")
        set_up(kettle)
        kettle.wait_sent()
        kettle.network(False)
        table.network(False)
        light_and_restart(kettle)
        program.process.kill()
    with loft.open() as program:
        pour(kettle)
        colour_pull_and_build(table)
        for each in (kettle, table):
            wait_true(each.page, "document.querySelector('.stage').textContent.includes('here')")
            each.network(True)
        for each in (kettle, table):
            each.wait_sent()
        glance_handover(kettle, table)
        with office(playwright, program, home) as desk:
            watch_a_press_arrive(desk, kettle)
        draw_cut_and_pack(kettle, table)
        for each in (kettle, table):
            each.wait_sent()
        check_everything_is_there_once(loft, [kettle, table])
        kettle.context.close()
        table.context.close()
    check_the_record(loft)


def set_up(kettle: CrewPhone) -> None:
    kettle.go("setup")
    kettle.finish_until("Cautions")
    kettle.finish()
    kettle.page.get_by_role("button", name="Read together").click()
    kettle.finish_all(SET_UP)


def light_and_restart(kettle: CrewPhone) -> None:
    """Lit without a network; the browser dies while the lid's clock runs."""
    kettle.go("kettle")
    assert kettle.finish_until("Wash walls") == [
        "Load kettle",
        "Light",
        "Add syrup",
        "Skim",
        "Lid on",
    ]
    before = seconds_left(kettle)
    gone = time.monotonic()
    kettle.restart()
    assert kettle.call == "Wash walls"
    away = time.monotonic() - gone
    assert abs(before - away - seconds_left(kettle)) <= 2


def seconds_left(phone: CrewPhone) -> int:
    wait_true(phone.page, "/[0-9]:[0-9]/.test(document.querySelector('.clock')?.textContent)")
    found = re.search(r"(\d+):(\d\d)", phone.page.locator(".clock").inner_text())
    assert found
    return int(found[1]) * 60 + int(found[2])


def pour(kettle: CrewPhone) -> None:
    """From 140 °C the phone asks for nothing: keys do nothing, 'Poured' alone ends it."""
    kettle.finish_until("Poured")
    hot = kettle.page.locator(".hot")
    assert "147°" in hot.inner_text()
    kettle.page.keyboard.press("PageDown")
    assert hot.count() == 1
    # The press that brought the scene can't also end it.
    time.sleep(1.6)
    hot.get_by_role("button", name="Poured").tap()
    assert hot.count() == 0
    kettle.write_down({"Peak": ("152.3", "°C")})
    kettle.finish_all({"Colour at off, 1 pale to 5 amber": ("2", "of 5")})


def colour_pull_and_build(table: CrewPhone) -> None:
    table.go("table")
    table.finish_all(TABLE)
    table.go("hook")
    table.finish_until("Pull", {"White, at the start": ("86", "°C")})
    table.end_count(115)
    table.finish_until("Weigh rod", {"Whiteness, 1 to 5": ("4", "of 5")})
    table.page.locator(".station .keys").get_by_text("Pass", exact=True).click()
    table.page.get_by_role("button", name="No hands free").click()
    table.go("block")
    table.finish_all(BLOCK)


def glance_handover(kettle: CrewPhone, table: CrewPhone) -> None:
    """Inside the zone: the short card is shown and taken; the boil stays where it is."""
    kettle.go("handover")
    kettle.page.locator("h1", has_text="Glance card").wait_for()
    kettle.page.get_by_role("button", name="Show the newcomer").click()
    kettle.page.locator(".panel").get_by_text("Greta", exact=True).click()
    table.be("Greta")
    table.go("handover")
    table.page.get_by_role("button", name="roller").click(timeout=20_000)
    table.page.get_by_role("button", name="I shadow from here").click()
    table.page.get_by_role("button", name="No questions").click()
    table.wait_sent()


def office(playwright: Playwright, program: Program, home: Path) -> Desk:
    return Desk(playwright, program, home)


class Desk:
    """The office's page, open on the record while people press."""

    def __init__(self, playwright: Playwright, program: Program, home: Path) -> None:
        env: dict[str, str | float | bool] = {"HOME": str(home)}
        self.browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS, env=env)
        self.page = self.browser.new_page()
        password = new_password(program.data)
        self.page.goto(f"https://localhost:{program.port}/office/batch/demo-planned/")
        self.page.fill("[name=username]", "office")
        self.page.fill("[name=password]", password)
        self.page.locator("main button").click()
        self.page.locator("#record").wait_for()

    def __enter__(self) -> Page:
        return self.page

    def __exit__(self, *_: object) -> None:
        self.browser.close()


def new_password(data: Path) -> str:
    """Set as an owner would who lost the printed one."""
    code = (
        "import django; django.setup()\n"
        "from django.contrib.auth import get_user_model\n"
        "user = get_user_model().objects.get(username='office')\n"
        "user.set_password('quince-and-balm'); user.save()"
    )
    done = manage(data, "shell", "-c", code, KETTLESIDE_SHOP="demo")
    assert done.returncode == 0, done.stderr
    return "quince-and-balm"


def watch_a_press_arrive(desk: Page, kettle: CrewPhone) -> None:
    """The record changes within two seconds of a press."""
    kettle.go("roller")
    rows = desk.locator("#record .lines tbody tr").count()
    kettle.finish()
    pressed = time.monotonic()
    while desk.locator("#record .lines tbody tr").count() == rows:
        assert time.monotonic() - pressed < 2, "the office saw nothing within two seconds"
        time.sleep(0.02)


def draw_cut_and_pack(kettle: CrewPhone, table: CrewPhone) -> None:
    kettle.finish_until("Draw rods", ROLLER)
    kettle.end_count(35)
    kettle.finish_until("Cut", ROLLER)
    kettle.end_count(5)
    kettle.finish_all(CUT)
    table.be("Pim")
    table.go("packing")
    table.finish_until("Pack bags", PACKING)
    table.end_count(95)
    table.finish_all(PACKING)


def check_everything_is_there_once(loft: Loft, phones: list[CrewPhone]) -> None:
    stored = Counter(loft.lines())
    made = [line for each in phones for line in each.lines()]
    assert len(made) >= 110
    assert {line: stored[line] for line in made} == dict.fromkeys(made, 1)


def check_the_record(loft: Loft) -> None:
    record = json.loads(manage(loft.data, "record", "demo-planned", "--json").stdout)
    assert [s["step"] for s in record["steps"] if s["struck_by"]] == []
    assert len({s["step"] for s in record["steps"]}) == len(record["steps"]) >= 68
    assert [r["label"] for r in record["readings"] if r["struck_by"]] == []
    assert {d["id"] for d in record["deviations"]} == {"check:cook"}
    assert record["mass_balance"]["unaccounted"] == 14_000
    assert [(h["from"], h["to"], h["glance"]) for h in record["handovers"]] == [
        ("maren", "greta", 1)
    ]
    assert record["lead"] == "Maren"
    assert record["unfiled"] == record["unread"] == record["conflicts"] == []
    assert manage(loft.data, "verify", KETTLESIDE_SHOP="demo").stdout.startswith("Whole")
