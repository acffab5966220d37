"""A question about a picture, with the shop's numbers and sugars, and its whole answer."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from shop.craft.errors import check_range
from shop.picture.answer import drawing_as_plain
from shop.picture.case import Enquiry
from shop.picture.colours import reduce_colours
from shop.picture.crew import Hand
from shop.picture.draw import Shop, draw, drawn_of
from shop.picture.errors import PartWrong
from shop.picture.lettering import ring, row
from shop.picture.looks import Looks, looks
from shop.picture.needs import gives
from shop.picture.paint import blank, painted
from shop.picture.reading import read_image
from shop.picture.schedule import EFFORT, build
from shop.picture.shapes import Drawn, PaletteColour, Section
from shop.picture.svg import face_panel, page, section_panels
from shop.picture.verdict import verdict
from shop.plan.from_drawing import (
    casing_sugar,
    palette_of,
    section_of,
    shop_of,
    shop_sugars,
)
from shop.plan.numbers import Numbers, check_number, defaults, shop_numbers

A_PICTURE = "a picture log"


@dataclass(frozen=True, slots=True)
class Asked:
    """One question: an image's bytes or a text, the log [mg, um], the rod [um], the hands.

    letters_m: height of the text at the log [m]; ink: its sugar. colours: at most so many beside
    white. background, see_through, becomes: what the maker chose, by sugar id. search_s: how long
    to look for a better build [s]. packs: bags of `fill_mg` [mg], 0 for as many as the log gives.
    """

    image: bytes
    title: str
    log_mg: int
    log_um: int
    rod_um: int
    hands: int = 2
    search_s: float = EFFORT
    packs: int = 0
    fill_mg: int = 100_000
    text: str = ""
    ring: bool = False
    ink: str = "red"
    letters_m: float = 0.032
    colours: int = 4
    background: str | None = None
    see_through: str | None = None
    becomes: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Built:
    """The drawing and the answer as plain data."""

    title: str
    drawn: Drawn
    casing: PaletteColour
    seen: Looks
    answer: dict[str, Any]

    def svg(self) -> str:
        """Section, mirror, how it will look, enlarged and at true size, on one page."""
        section = self.drawn.section
        log, rod = section.log_diameter_m * 1000, section.rod_diameter_m * 1000
        faces = [
            face_panel("How it will look", self.seen.usual, log),
            face_panel(f"True size, {rod:g} mm rod", self.seen.usual, rod),
        ]
        return page(self.title, [*section_panels(self.drawn, self.casing), *faces])


def picture_asked(asked: Asked, own: Mapping[str, int] | None = None) -> Built:
    """The answer, by the shop's `own` numbers where it set some.

    Raises PictureError for what can't be read or drawn, CraftError and PlanError for values out of
    range.
    """
    numbers = _numbers(asked, own or {})
    section = section_of(numbers, log_mg=asked.log_mg, rod_um=asked.rod_um)
    shop = shop_of(numbers, casing_sugar())
    drawn = _lettered(asked, section, shop) if asked.text else _imaged(asked, section, shop)
    hands = [Hand(f"Hand {n}") for n in range(1, asked.hands + 1)]
    told = build(drawn.parts, section, hands, numbers, drawn.motifs, effort=asked.search_s)
    letter = asked.letters_m if asked.text else None
    order = _order(asked, drawn, numbers)
    doubts = {key: number.doubt for key, number in defaults().items()}
    seen = looks(drawn, shop.casing.hex, numbers, doubts)
    answer = {
        "title": asked.title,
        **drawing_as_plain(drawn, numbers["repair_stock"] / 1e6),
        "build": told,
        "verdict": verdict(drawn, order, hands, numbers, letter_m=letter, build=told),
        "legibility": seen.as_json(),
    }
    return Built(asked.title, drawn, shop.casing, seen, answer)


def _order(asked: Asked, drawn: Drawn, numbers: Numbers) -> Enquiry:
    """The bags asked for, or as many as the log gives."""
    section = drawn.section
    density = sum(p.area_m2 * p.density for p in drawn.parts) / sum(p.area_m2 for p in drawn.parts)
    given = gives(section.log_kg, asked.fill_mg, density, section.rod_diameter_m, numbers)
    packs = asked.packs or max(given.packs, 1)
    return Enquiry(packs=packs, fill_mg=asked.fill_mg, text=asked.text, ring=asked.ring)


def _numbers(asked: Asked, own: Mapping[str, int]) -> Numbers:
    check_range("log mass", asked.log_mg / 1e6, "kg", 0.5, 100, A_PICTURE)
    check_range("rod", asked.rod_um / 1000, "mm", 5, 60, A_PICTURE)
    check_range("hands", asked.hands, "1", 1, 4, "building one log")
    check_range("search", asked.search_s, "s", 0.5, 60, "a build")
    check_range("packs", asked.packs, "1", 0, 100_000, "bags of one order")
    check_range("fill", asked.fill_mg / 1000, "g", 5, 10_000, "a bag")
    check_range("colours", asked.colours, "1", 1, 12, "sugars beside white")
    check_number(defaults()["log_diameter"], asked.log_um)
    return {**shop_numbers(own), "log_diameter": asked.log_um}


def _imaged(asked: Asked, section: Section, shop: Shop) -> Drawn:
    reduced = reduce_colours(
        read_image(asked.image),
        palette_of(shop_sugars()),
        most=asked.colours,
        background=asked.background,
        see_through=asked.see_through,
        becomes=asked.becomes,
    )
    return draw(reduced, section, shop)


def _lettered(asked: Asked, section: Section, shop: Shop) -> Drawn:
    """Letters of one sugar in a field of the background, white where none is chosen."""
    palette = palette_of(shop_sugars())
    ids = [colour.id for colour in palette]
    wanted = [asked.background or "white", asked.ink]
    for sugar in wanted:
        if sugar not in ids:
            raise PartWrong(sugar, "is not a colour of this shop", f"choose {', '.join(ids)}")
    used = tuple(c for c in palette if c.id in wanted or c.treatment == "white")
    at = {colour.id: i for i, colour in enumerate(used)}
    lay = ring if asked.ring else row
    letters = lay(asked.text, asked.letters_m, section, shop.limits)
    outlines = [(letter.outline, at[asked.ink]) for letter in letters]
    return drawn_of(painted(blank(section, used, at[wanted[0]]), outlines), section, shop)
