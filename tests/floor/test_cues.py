"""Pictures of right, too early, too late: there for every step that names one, three to a picture,
the right one in the middle, told apart without colour."""

from pathlib import Path
from xml.etree import ElementTree

import pytest
from django.conf import settings
from playwright.sync_api import Page

from shop.plan.own_way import file_of_way
from shop.screens.floor import app
from tests.floor.test_screens import SIZES, Go

CUES = Path(settings.STATIC_DIR) / "cues"
SVG = "{http://www.w3.org/2000/svg}"
# Rectangles on the bench board from which a picture is read at arm's length.
LEAST_HIGH = 62


def named() -> dict[str, str]:
    """Step → the picture it names."""
    stations = file_of_way("steps")["station"]
    return {step["id"]: step["look"] for st in stations for step in st["step"] if "look" in step}


def test_every_picture_that_is_named_is_there_and_none_besides() -> None:
    assert set(named().values()) == {path.stem for path in CUES.glob("*.svg")}
    assert len(named()) >= 12


@pytest.mark.parametrize("path", sorted(CUES.glob("*.svg")), ids=lambda path: path.stem)
def test_a_picture_has_three_panes_and_the_right_one_is_framed_and_ticked(path: Path) -> None:
    panes = ElementTree.fromstring(path.read_text("utf-8")).findall(f"{SVG}g")  # noqa: S314  # ours
    frames = [pane.find(f"{SVG}rect") for pane in panes]
    widths = [float(frame.attrib["stroke-width"]) for frame in frames if frame is not None]
    assert len(widths) == 3
    assert widths[1] >= 3 * max(widths[0], widths[2])
    # The last stroke is the tick or the cross: one line, or two.
    marks = [pane.findall(f"{SVG}path")[-1].attrib["d"].count("M") for pane in panes]
    assert marks == [2, 1, 2]


def test_the_pictures_come_with_the_rest_and_stand_on_the_board(page: Page, go: Go) -> None:
    assert "cues/pulled.svg" in app.rest("").decode()
    assert "cues/" not in app.pack("").decode().replace("../../cues/", "")
    page.set_viewport_size(SIZES)
    go("b/demo-handover/roller")
    look = page.locator(".station .look")
    look.wait_for()
    assert look.evaluate("(e) => e.naturalWidth") > 0
    assert look.bounding_box()["height"] >= LEAST_HIGH  # type: ignore[index]  # it is shown
    assert "Middle: right" in (look.get_attribute("alt") or "")
    go("b/demo-planned/setup")
    assert not page.locator(".station .look").is_visible()
