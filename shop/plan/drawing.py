"""A picture as the office keeps it: pixels of the shop's colours, and what the maker did to parts.

The pixels are a PNG of one byte each, an index into the palette, 255 outside the disc; a plain
drawing of 512 × 512 takes a few kilobytes.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from io import BytesIO
from typing import Any

import numpy as np
from PIL import Image

from shop.craft.errors import CraftError
from shop.picture.editing import merge_parts, rename_part, split_part
from shop.picture.errors import PartWrong, PictureError
from shop.picture.shapes import (
    OUTSIDE,
    Drawn,
    Motif,
    PaletteColour,
    PicturePart,
    Point,
    Raster,
    Section,
)
from shop.picture.stacking import stacked
from shop.sentences import Sentence

Plain = dict[str, Any]
NOTHING = 255
# Ways a part is cut through its middle: the direction of the cut.
CUTS: dict[str, Point] = {
    "upright": (0.0, 1.0),
    "level": (1.0, 0.0),
    "rising": (1.0, 1.0),
    "falling": (1.0, -1.0),
}


@dataclass(frozen=True, slots=True)
class Kept:
    """labels: the PNG. background: id of the colour the picture lies in. edits: see `edited`."""

    labels: bytes
    palette: tuple[PaletteColour, ...]
    background: str
    edits: tuple[Plain, ...] = ()

    def as_plain(self) -> Plain:
        """All but the pixels, for JSON."""
        colours = [
            {"id": c.id, "name": c.name, "hex": c.hex, "treatment": c.treatment}
            for c in self.palette
        ]
        edits = [dict(edit) for edit in self.edits]
        return {"palette": colours, "background": self.background, "edits": edits}


def kept_from(labels: bytes, plain: Mapping[str, Any]) -> Kept:
    """The picture that `Kept.as_plain` and its pixels make."""
    palette = tuple(PaletteColour(**colour) for colour in plain["palette"])
    return Kept(labels, palette, plain["background"], tuple(plain["edits"]))


def kept_of(raster: Raster) -> Kept:
    """A raster to keep; its parts as they are found."""
    bytes_ = np.where(raster.labels == OUTSIDE, NOTHING, raster.labels).astype(np.uint8)
    out = BytesIO()
    Image.fromarray(bytes_).save(out, "PNG", optimize=True)
    return Kept(out.getvalue(), raster.palette, raster.palette[raster.background].id)


def raster_of(kept: Kept, section: Section) -> Raster:
    """The kept picture laid in a section: log, casing and band may have changed since."""
    pixels = np.asarray(Image.open(BytesIO(kept.labels))).astype(np.int16)
    labels = np.where(pixels == NOTHING, np.int16(OUTSIDE), pixels)
    ids = [colour.id for colour in kept.palette]
    metres = 2 * section.picture_radius_m / len(labels)
    return Raster(labels, metres, kept.palette, ids.index(kept.background))


def recoloured(
    raster: Raster, palette: Sequence[PaletteColour], becomes: Mapping[str, str], background: str
) -> Raster:
    """Each colour the maker gives another, and the one the picture lies in, by id.

    Raises PartWrong for an id that is none of the shop's.
    """
    by_id = {colour.id: colour for colour in palette}
    for wanted in (*becomes.values(), background):
        if wanted not in by_id:
            raise PartWrong(
                wanted, Sentence("is not a colour of this shop"), f"choose {', '.join(by_id)}"
            )
    now = [becomes.get(colour.id, colour.id) for colour in raster.palette]
    white = next(colour.id for colour in palette if colour.treatment == "white")
    used = [key for key in by_id if key in {*now, background, white}]
    table = np.array([*(used.index(key) for key in now), OUTSIDE], dtype=np.int16)
    new = tuple(by_id[key] for key in used)
    return replace(
        raster, labels=table[raster.labels], palette=new, background=used.index(background)
    )


def edited(drawn: Drawn, edits: Sequence[Plain], thin_m: float) -> tuple[Drawn, tuple[str, ...]]:
    """The drawing with its parts split, merged and renamed, and what can't be done any more.

    Each edit is `{"act": "rename", "part", "name"}`, `{"act": "merge", "parts"}`,
    `{"act": "split", "part", "way"}`, the way one of CUTS, through the part's middle, or
    `{"act": "stack", "part", "rods"}`. `thin_m`: the thinnest that can be laid [m].
    """
    lost = []
    for edit in edits:
        try:
            drawn = one_edit(drawn, edit, thin_m)
        except (PictureError, CraftError) as wrong:
            lost.append(str(wrong))
    return drawn, tuple(lost)


def one_edit(drawn: Drawn, edit: Plain, thin_m: float) -> Drawn:
    """One edit of `edited`. Raises PartWrong, OutOfRange where it can't be done."""
    parts = drawn.parts
    if edit["act"] == "stack":
        found, motif = stacked(parts, drawn.section, edit["part"], edit["rods"], thin_m)
        return _with_motifs(drawn, found, motif)
    if edit["act"] == "rename":
        new = rename_part(parts, edit["part"], edit["name"])
        names = {old.id: now.id for old, now in zip(parts, new, strict=True)}
        return replace(drawn, parts=new, motifs=tuple(_renamed(m, names) for m in drawn.motifs))
    if edit["act"] == "merge":
        return _with_motifs(drawn, merge_parts(parts, drawn.section, edit["parts"]))
    if edit["way"] not in CUTS:
        raise PartWrong(
            edit["part"],
            Sentence("can't be cut {way!r}", way=edit["way"]),
            f"choose {', '.join(CUTS)}",
        )
    x, y = next((part.place for part in parts if part.id == edit["part"]), (0.0, 0.0))
    across, up = CUTS[edit["way"]]
    through = ((x, y), (x + across / 1000, y + up / 1000))
    return _with_motifs(drawn, split_part(parts, drawn.section, edit["part"], through))


def _renamed(motif: Motif, names: Mapping[str, str]) -> Motif:
    return replace(motif, parts=tuple(names.get(part, part) for part in motif.parts))


def _with_motifs(drawn: Drawn, parts: tuple[PicturePart, ...], *new: Motif) -> Drawn:
    """A motif one of whose parts or copies is another now is built piece by piece."""
    whole = tuple(motif for motif in (*drawn.motifs, *new) if _is_whole(motif, parts))
    once = {part for motif in whole for part in motif.parts}
    alone = tuple(
        part if part.made_from is None or part.made_from.part in once else _by_itself(part)
        for part in parts
    )
    return replace(drawn, parts=alone, motifs=whole)


def _by_itself(part: PicturePart) -> PicturePart:
    return replace(part, made_from=None)


def _is_whole(motif: Motif, parts: Sequence[PicturePart]) -> bool:
    there = {part.id for part in parts}
    made = [part.made_from.part for part in parts if part.made_from]
    return all(p in there and made.count(p) == motif.copies - 1 for p in motif.parts)
