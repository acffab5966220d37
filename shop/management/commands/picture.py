"""`picture FILE --log-mass 11kg --rod 14mm …`: from a drawing to parts, grams and a build."""

import json
from argparse import ArgumentTypeError
from collections.abc import Callable
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shop.craft.errors import CraftError
from shop.craft.quantities import read
from shop.picture.errors import PictureError
from shop.plan.ask_picture import Asked, Built, picture_asked
from shop.plan.errors import PlanError
from shop.plan.picture_words import in_words

# Options that are quantities: unit inside, what is taken where nothing is said, and the words.
QUANTITIES = {
    "log-mass": ("kg", "11kg", "mass of the log"),
    "log-diameter": ("m", "150mm", "diameter of the log"),
    "rod": ("m", "14mm", "diameter of the rod"),
    "letters": ("m", "32mm", "height of lettering at the log"),
    "fill": ("g", "100g", "label weight of a bag"),
    "search": ("s", "2s", "how long to look for a better build"),
}


def quantity(name: str, unit: str) -> Callable[[str], float]:
    """A reader of one option, whose refusal is the room's own sentence."""

    def parse(text: str) -> float:
        try:
            return read(name, text, unit)
        except CraftError as wrong:
            raise ArgumentTypeError(str(wrong)) from wrong

    return parse


class Command(BaseCommand):
    help = "From a PNG or JPEG, or a text, to parts, grams, repairs and a build in time."
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", nargs="?", help="a PNG or JPEG; without it give --text")
        parser.add_argument("--text", default="", help="capitals to lay from strips")
        parser.add_argument("--ring", action="store_true", help="the text round the edge")
        parser.add_argument("--ink", default="red", help="the sugar of the text (red if not given)")
        for name, (unit, default, says) in QUANTITIES.items():
            words = f"{says} ({default} if not given)"
            parser.add_argument(f"--{name}", type=quantity(name, unit), default=default, help=words)
        parser.add_argument("--hands", type=int, default=2, help="who build, 1 to 4 (2)")
        parser.add_argument("--packs", type=int, default=0, help="bags (all that the log gives)")
        parser.add_argument("--colours", type=int, default=4, help="sugars beside white, at most")
        parser.add_argument("--background", help="the sugar the picture lies in, by its id")
        parser.add_argument("--see-through", help="the sugar of transparent places, by its id")
        parser.add_argument(
            "--becomes", action="append", default=[], help="such as blue=clear, once for each"
        )
        parser.add_argument("--json", action="store_true", help="the answer as JSON")
        parser.add_argument("--svg", help="a file for section, mirror and how it will look")

    def handle(self, *, file: str | None, json: bool, svg: str | None, **given: Any) -> None:
        """The answer as words or JSON; a refusal names the value and the limit."""
        try:
            built = picture_asked(_asked(file, given))
        except (CraftError, PictureError, PlanError) as wrong:
            raise CommandError(str(wrong)) from wrong
        if svg:
            _write(svg, built)
        self.stdout.write(_as_json(built.answer) if json else in_words(built.answer))


def _asked(file: str | None, given: dict[str, Any]) -> Asked:
    if bool(file) == bool(given["text"]):
        raise CommandError("Give a picture's file, or --text, and not both.")
    pairs = [pair.partition("=") for pair in given["becomes"]]
    return Asked(
        image=_bytes(file) if file else b"",
        title=Path(file).stem if file else given["text"],
        text=given["text"],
        ring=given["ring"],
        ink=given["ink"],
        letters_m=given["letters"],
        log_mg=round(given["log_mass"] * 1e6),
        log_um=round(given["log_diameter"] * 1e6),
        rod_um=round(given["rod"] * 1e6),
        hands=given["hands"],
        search_s=given["search"],
        packs=given["packs"],
        fill_mg=round(given["fill"] * 1000),
        colours=given["colours"],
        background=given["background"],
        see_through=given["see_through"],
        becomes={old: new for old, _, new in pairs},
    )


def _bytes(file: str) -> bytes:
    try:
        return Path(file).read_bytes()
    except OSError as error:
        raise CommandError(f"{file} can't be read: {error.strerror}.") from error


def _write(svg: str, built: Built) -> None:
    try:
        Path(svg).write_text(built.svg(), "utf-8")
    except OSError as error:
        raise CommandError(f"{svg} can't be written: {error.strerror}.") from error


def _as_json(answer: dict[str, Any]) -> str:
    return json.dumps(answer, ensure_ascii=False, indent=1)
