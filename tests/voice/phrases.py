"""What is spoken, as the phone's own module says it, and where its recordings lie."""

import json
from pathlib import Path

STATIC = Path(__file__).parents[2] / "static"
SAID = STATIC / "js" / "record" / "said.js"
VOICE = STATIC / "voice"


def phrases() -> dict[str, dict[str, str]]:
    """Language → name → text."""
    _, _, found = SAID.read_text("utf-8").partition("export default ")
    said: dict[str, dict[str, str]] = json.loads(found.strip().removesuffix(";"))
    return said


def recording(language: str, name: str) -> Path:
    return VOICE / language / f"{name}.mp3"
