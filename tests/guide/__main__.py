"""`python -m tests.guide`: takes the guide's pictures anew."""

import io
import json
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

from tests.browsers import PHONE
from tests.guide.scenes import GUIDE, WORDS, shown, words_on

QUALITY = 72


def main() -> None:
    """Writes each picture, half as many dots a side as the phone has, and all their words."""
    found = {}
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        for scene, page in shown(playwright, Path(folder)):
            taken = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
            small = taken.resize((PHONE["width"], PHONE["height"]), Image.Resampling.LANCZOS)
            small.save(GUIDE / f"{scene.name}.webp", quality=QUALITY, method=6)
            found[scene.name] = words_on(page)
    WORDS.write_text(json.dumps(found, ensure_ascii=False, indent=1) + "\n", "utf-8")


if __name__ == "__main__":
    main()
