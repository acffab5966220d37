"""`python -m tests.guide`: takes the guide's pictures anew, and README's of the record."""

import io
import json
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, Playwright, sync_playwright

from tests.browsers import CHROMIUM, FLAGS, PHONE
from tests.desks import PASSWORDS, open_desk
from tests.guide.scenes import GUIDE, WORDS, shown, words_on
from tests.programs import beside, running

QUALITY = 72
RECORD = Path(__file__).parents[2] / "docs" / "pictures" / "office-record.png"


def main() -> None:
    """Writes each picture, and all words of the guide's."""
    found = {}
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        for scene, page in shown(playwright, Path(folder) / "floor"):
            _picture(page).save(GUIDE / f"{scene.name}.webp", quality=QUALITY, method=6)
            found[scene.name] = words_on(page)
        take_record(playwright, Path(folder) / "office")
    WORDS.write_text(json.dumps(found, ensure_ascii=False, indent=1) + "\n", "utf-8")


def take_record(playwright: Playwright, folder: Path) -> None:
    """What went off in the demo's closed boil, at a desk as narrow as a phone."""
    browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
    with running(folder / "data", "demo") as program:
        beside(program.data, PASSWORDS + "answer = 0")
        with open_desk(browser, program, device_scale_factor=2) as page:
            page.set_viewport_size(PHONE)
            page.goto("/office/batch/demo-finished/")
            page.locator("h3", has_text="What went off").evaluate("(head) => head.scrollIntoView()")
            _picture(page).quantize(64).save(RECORD, optimize=True)
    browser.close()


def _picture(page: Page) -> Image.Image:
    """Half as many dots a side as the phone has."""
    taken = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    return taken.resize((PHONE["width"], PHONE["height"]), Image.Resampling.LANCZOS)


if __name__ == "__main__":
    main()
