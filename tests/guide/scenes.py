"""What each picture of the guide shows, and how a phone in the demo comes to show it.

`python -m tests.guide` takes them all anew and keeps the words that stood on each.
"""

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone
from tests.programs import Program, beside, running

GUIDE = Path(__file__).parents[2] / "static" / "guide"
WORDS = Path(__file__).with_name("words.json")
PLANNED, RUNNING = "demo-planned", "demo-handover"
DONE = """
from shop.store.access import only_shop
from shop.store.append import office_event
from shop.store.read import batch_sheet
from shop.store.access import access_batch
shop = only_shop()
steps = batch_sheet(access_batch(shop.id, "demo-planned"))["steps"]
for step in {}:
    office_event(shop_id=shop.id, batch="demo-planned", kind="step_done", body={{}}, by="maren",
                 step=step, station=steps[step]["station"])
answer = 0
"""
# What moves with the day a picture is taken on.
PASSING = [(r"\d+ (s|min|h|d|days?) ago", "# ago"), (r"\d\d?:\d\d", "#:#"), (r"app [0-9a-f]+", "")]


@dataclass(frozen=True)
class Scene:
    """A picture: where the phone goes, what is done by then elsewhere and what stands there then,
    what is pressed."""

    name: str
    place: str
    done: tuple[str, ...] = ()
    call: str = ""
    press: Callable[[Page], None] | None = None


def _finish(page: Page) -> None:
    page.locator(".finish").click()


SCENES = (
    Scene("boils", ""),
    Scene("station", f"b/{PLANNED}/kettle"),
    Scene("undo", f"b/{PLANNED}/setup", press=_finish),
    Scene("reading", f"b/{PLANNED}/setup", ("setup.hazards",), "Test", _finish),
    Scene("table", f"b/{PLANNED}/table", ("table.bars", "table.skin"), "Read middle"),
    Scene("block", f"b/{PLANNED}/block", ("block.lay-out", "block.hive", "block.door"), "Bees"),
    Scene("roller", f"b/{RUNNING}/roller"),
    Scene("handover", f"b/{RUNNING}/handover"),
    Scene("hot", f"b/{PLANNED}/kettle", ("cook.light", "cook.at-140"), "Eyes"),
    Scene("burn", f"b/{PLANNED}/burn"),
    Scene("ready", "ready"),
)


def shown(playwright: Playwright, folder: Path) -> Iterator[tuple[Scene, Page]]:
    """Every scene as the phone shows it."""
    with (
        running(folder / "data", "demo") as program,
        phone(playwright, folder / "phone") as context,
    ):
        page = context.pages[0]
        page.goto(_address(program, f"add={add_phone(program.data)['code']}"))
        page.locator(".row", has_text="Maren").click(timeout=30_000)
        page.locator(".row", has_text="L6329C").wait_for()
        for scene in SCENES:
            _go(page, program, scene)
            yield scene, page


def words_on(page: Page) -> list[str]:
    """The lines that stand on the screen, without what moves with the day."""
    # What is only told to whoever hears the screen comes when it comes.
    text = "\n".join(filter(None, page.locator("body > :not(.told)").all_inner_texts()))
    for pattern, instead in PASSING:
        text = re.sub(pattern, instead, text)
    return [line.strip() for line in text.splitlines() if line.strip()]


def kept_words() -> dict[str, list[str]]:
    """The words of each picture when it was taken."""
    found: dict[str, list[str]] = json.loads(WORDS.read_text("utf-8"))
    return found


def _go(page: Page, program: Program, scene: Scene) -> None:
    if scene.done:
        beside(program.data, DONE.format(list(scene.done)))
    page.goto(_address(program, "/"))
    page.goto(_address(program, f"/{scene.place}"))
    page.locator("#app > *").last.wait_for()
    if scene.call:
        page.locator(".call", has_text=scene.call).first.wait_for()
    page.locator(".stage", has_text="at the shop").wait_for()
    if scene.press:
        scene.press(page)
        page.locator(".stage", has_text="at the shop").wait_for()
    if page.locator(".station").count():
        # Its clock must have gone on for a second.
        page.locator("body[data-sound=ready]").wait_for()
    page.wait_for_timeout(500)


def _address(program: Program, place: str) -> str:
    return f"http://localhost:{program.port}/floor/#{place}"
