"""The long work on a picture, each a plain question and answer, so that another process may do it.

Every function here takes seconds and is deterministic: the same question has the same answer.
"""

import pickle
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import numpy as np

from shop.picture.buildable import repaired
from shop.picture.case import Enquiry
from shop.picture.colours import Reduced, reduce_colours
from shop.picture.crew import Hand
from shop.picture.draw import drawn_of
from shop.picture.errors import NotRead, PartWrong
from shop.picture.face import face_svg
from shop.picture.gantt import gantt_svg
from shop.picture.lettering import ring, row
from shop.picture.looks import looks
from shop.picture.mend import SPECK
from shop.picture.paint import blank, painted
from shop.picture.place import lay_grid, lay_in
from shop.picture.reading import read_image
from shop.picture.schedule import build
from shop.picture.shapes import Drawn, PaletteColour, Section
from shop.picture.verdict import verdict
from shop.plan.drawing import Kept, edited, kept_of, one_edit, raster_of, recoloured
from shop.plan.from_drawing import (
    casing_sugar,
    palette_of,
    planned,
    section_of,
    shop_of,
    shop_sugars,
)
from shop.plan.numbers import Numbers, defaults
from shop.plan.picture import Picture, Sugar
from shop.sentences import Sentence

Plain = dict[str, Any]
# How long the solver looks for each answer [deterministic s].
SEARCH = 2.0


@dataclass(frozen=True, slots=True)
class Planned:
    """What a picture is worked out for: the shop's numbers, log [mg] and rod [um]."""

    numbers: Numbers
    log_mg: int
    rod_um: int

    @property
    def section(self) -> Section:
        """The section that these make."""
        return section_of(self.numbers, log_mg=self.log_mg, rod_um=self.rod_um)


@dataclass(frozen=True, slots=True)
class Lettering:
    """A text to lay: `ink` and `ground` by sugar id, letters `height_um` high at the log [um]."""

    text: str
    ring: bool
    ink: str
    ground: str
    height_um: int


@dataclass(frozen=True, slots=True)
class Looked:
    """A drawing with its flaws, parts and motifs; `lost`: edits that fit it no more, in words."""

    drawn: Drawn
    lost: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Decided:
    """The build and the verdict as plain data, and the schedule as SVG."""

    build: Plain
    verdict: Plain
    gantt: str


@dataclass(frozen=True, slots=True)
class Seen:
    """The cut face as SVG by what it shows, and the score as plain data."""

    score: Plain
    faces: Mapping[str, str] = field(default_factory=dict)
    samples: tuple[str, ...] = ()


def from_file(
    data: bytes, how: Planned, colours: int, background: str | None, see_through: str | None
) -> Kept:
    """A PNG or JPEG in the shop's colours. Raises NotRead, TooLarge, PartWrong."""
    reduced = reduce_colours(
        read_image(data),
        palette_of(shop_sugars()),
        most=colours,
        background=background,
        see_through=see_through,
    )
    speck = (SPECK * shop_of(how.numbers, casing_sugar()).limits.strip_m) ** 2
    return kept_of(lay_in(reduced, how.section, speck))


def from_text(asked: Lettering, how: Planned) -> Kept:
    """Letters of one sugar in a field of another. Raises PictureError where it can't be laid."""
    used = _used((asked.ground, asked.ink))
    at = {colour.id: i for i, colour in enumerate(used)}
    limits = shop_of(how.numbers, casing_sugar()).limits
    lay = ring if asked.ring else row
    letters = lay(asked.text, asked.height_um / 1e6, how.section, limits)
    outlines = [(letter.outline, at[asked.ink]) for letter in letters]
    return kept_of(painted(blank(how.section, used, at[asked.ground]), outlines))


def from_grid(cells: Sequence[Sequence[str]], ground: str, how: Planned) -> Kept:
    """A square of cells, each a sugar's id, as it lies in the disc; what is outside is cut off."""
    used = _used({ground, *(cell for line in cells for cell in line)})
    at = {colour.id: i for i, colour in enumerate(used)}
    labels = np.array([[at[cell] for cell in line] for line in cells], dtype=np.int16)
    if (labels == at[ground]).all():
        raise NotRead(
            Sentence("The grid is background only"), Sentence("draw something in another colour")
        )
    return kept_of(lay_grid(Reduced(labels, used, at[ground]), how.section))


def _used(ids: Any) -> tuple[PaletteColour, ...]:
    """These of the shop's sugars, and white."""
    palette = palette_of(shop_sugars())
    known = [colour.id for colour in palette]
    for wanted in ids:
        if wanted not in known:
            raise PartWrong(
                wanted, Sentence("is not a colour of this shop"), f"choose {', '.join(known)}"
            )
    return tuple(c for c in palette if c.id in ids or c.treatment == "white")


def looked(kept: Kept, how: Planned) -> Looked:
    """Flaws, parts, masses and motifs of a kept picture, with the maker's edits."""
    return _looked(_Look(pickle.dumps((kept, how)), kept, how))


@dataclass(frozen=True, slots=True)
class _Look:
    """A picture and what it is looked at for: the same where its `key` is."""

    key: bytes
    kept: Kept = field(compare=False)
    how: Planned = field(compare=False)


@lru_cache(maxsize=6)
def _looked(asked: _Look) -> Looked:
    kept, how = asked.kept, asked.how
    shop = shop_of(how.numbers, casing_sugar())
    drawn = drawn_of(raster_of(kept, how.section), how.section, shop)
    return Looked(*edited(drawn, kept.edits, shop.limits.strip_m))


def mended(kept: Kept, how: Planned, place: tuple[int, int] | None, repair: str) -> Kept:
    """One repair of the flaw at `place` [um], or, without one, all of them.

    Raises PartWrong where there is no such flaw any more.
    """
    drawn = looked(kept, how).drawn
    if place is None:
        return kept_of(drawn.raster)
    before = drawn.before or drawn.raster
    limits = shop_of(how.numbers, casing_sugar()).limits
    for flaw in drawn.flaws:
        if tuple(round(v * 1e6) for v in flaw.place) == place:
            offered = next((o.repair for o in flaw.offers if o.repair == repair), None)
            if offered:
                return kept_of(repaired(before, how.section, limits, flaw, offered))
    raise PartWrong(
        "That place",
        Sentence("can't be mended by {repair!r}", repair=repair),
        Sentence("look at the picture again"),
    )


def recolour(kept: Kept, how: Planned, becomes: Mapping[str, str], background: str) -> Kept:
    """Colours turned into others, clear among them, and another background. Raises PartWrong."""
    raster = raster_of(kept, how.section)
    return kept_of(recoloured(raster, palette_of(shop_sugars()), becomes, background))


def with_edit(kept: Kept, how: Planned, edit: Plain) -> Kept:
    """The picture with one more edit of its parts. Raises PartWrong where it can't be done."""
    thin_m = shop_of(how.numbers, casing_sugar()).limits.strip_m
    one_edit(looked(kept, how).drawn, edit, thin_m)
    return Kept(kept.labels, kept.palette, kept.background, (*kept.edits, edit))


def decided(
    kept: Kept, how: Planned, hands: Sequence[str], enquiry: Enquiry, letter_m: float | None
) -> Decided:
    """Build, schedule and verdict for these hands and this order."""
    drawn = looked(kept, how).drawn
    crew = [Hand(name) for name in hands]
    found = build(drawn.parts, drawn.section, crew, how.numbers, drawn.motifs, effort=SEARCH)
    said = verdict(drawn, enquiry, crew, how.numbers, letter_m=letter_m, build=found)
    return Decided(found, said, gantt_svg(found, swatches(drawn)))


def swatches(drawn: Drawn) -> dict[str, str]:
    """`#rrggbb` by sugar, the casing's among them."""
    casing = casing_sugar()
    return {**{c.id: c.hex for c in drawn.raster.palette}, casing.id: casing.swatch}


def seen(kept: Kept, how: Planned) -> Seen:
    """How the cut sweet will look, and whether it can be read."""
    drawn = looked(kept, how).drawn
    doubts = {key: number.doubt for key, number in defaults().items()}
    found = looks(drawn, casing_sugar().swatch, how.numbers, doubts)
    faces = {
        "drawing": found.drawing,
        "planned": found.planned,
        "mirror": found.planned.mirrored,
        "usual": found.usual,
        "usual_mirror": found.usual.mirrored,
    }
    return Seen(
        found.as_json(),
        {name: face_svg(face) for name, face in faces.items()},
        tuple(face_svg(face) for face in found.samples),
    )


def for_sheet(kept: Kept, how: Planned, title: str) -> tuple[Picture, tuple[Sugar, ...]]:
    """Picture and sugars of a sheet."""
    return planned(looked(kept, how).drawn, title, shop_sugars(), casing_sugar())


JOBS = {
    job.__name__: job
    for job in (
        *(from_file, from_text, from_grid, looked, mended, recolour, with_edit),
        *(decided, seen, for_sheet),
    )
}
