"""What the maker does to parts: split one along a line, put some together, call one otherwise."""

from collections.abc import Sequence
from dataclasses import replace

import shapely
from shapely import LineString, Polygon

from shop.picture.cutting import pieces_of
from shop.picture.errors import PartWrong
from shop.picture.kinds import kind_of
from shop.picture.parts import polygon_of, reshaped, settled, slug
from shop.picture.shapes import PicturePart, Point, Section
from shop.sentences import Sentence

Parts = tuple[PicturePart, ...]
LONGEST_NAME = 40
ROUNDS = ("jacket", "sheet")


def split_part(
    parts: Sequence[PicturePart], section: Section, part: str, through: tuple[Point, Point]
) -> Parts:
    """One part cut along the straight line through two points [m]; pieces get `a`, `b` …

    Raises PartWrong where there is no such part, or the line does not divide it.
    """
    old = find_part(parts, part)
    pieces = pieces_of(polygon_of(old), _line(through))
    if len(pieces) < 2:
        raise PartWrong(
            old.name, Sentence("is not divided by that line"), Sentence("draw it right through")
        )
    pieces.sort(key=lambda p: (-round(p.centroid.y, 6), p.centroid.x))
    names = [f"{old.name} {letter}" for letter, _ in zip("abcdefghij", pieces, strict=False)]
    _check_free(parts, names)
    new = [_named(_like(old, p), name) for p, name in zip(pieces, names, strict=True)]
    return settled(instead_of(parts, [old], new), section)


def merge_parts(parts: Sequence[PicturePart], section: Section, ids: Sequence[str]) -> Parts:
    """Some parts of one sugar that touch as one, under the first one's name.

    Raises PartWrong where one is not there, or they are of two sugars, or do not touch.
    """
    old = [find_part(parts, part) for part in dict.fromkeys(ids)]
    if len(old) < 2:
        raise PartWrong(
            "One part", Sentence("has nothing to go with"), Sentence("choose two or more")
        )
    for other in old[1:]:
        if other.portion != old[0].portion:
            raise PartWrong(
                other.name,
                Sentence("is not {portion}", portion=old[0].portion),
                Sentence("choose parts of one sugar"),
            )
    whole = shapely.union_all([polygon_of(part) for part in old])
    if whole.geom_type != "Polygon":
        raise PartWrong(
            old[0].name,
            Sentence("does not touch all the others"),
            Sentence("choose parts that touch"),
        )
    return settled(instead_of(parts, old, [_like(old[0], whole)]), section)


def rename_part(parts: Sequence[PicturePart], part: str, name: str) -> Parts:
    """One part under another name, and the id that goes with it.

    Raises PartWrong where the name is empty, too long or taken.
    """
    old, plain = find_part(parts, part), " ".join(name.split())
    if not slug(plain) or len(plain) > LONGEST_NAME:
        raise PartWrong(
            repr(name),
            Sentence("is no name"),
            Sentence("write 1 to {LONGEST_NAME} letters", LONGEST_NAME=LONGEST_NAME),
        )
    others = [p for p in parts if p.id != old.id]
    _check_free(others, [plain])
    new = _named(old, plain)

    def called(other: PicturePart) -> PicturePart:
        beside = tuple(sorted(new.id if n == old.id else n for n in other.neighbours))
        made = other.made_from
        if made and made.part == old.id:
            made = replace(made, part=new.id)
        return replace(other, neighbours=beside, made_from=made)

    return tuple(new if p.id == old.id else called(p) for p in parts)


def find_part(parts: Sequence[PicturePart], wanted: str) -> PicturePart:
    """A part by its id. Raises PartWrong where there is none."""
    for part in parts:
        if part.id == wanted:
            return part
    raise PartWrong(
        wanted, Sentence("is no part of this picture"), Sentence("choose one of its parts")
    )


def _line(through: tuple[Point, Point]) -> LineString:
    """The line through two points, long enough for any log."""
    (x, y), (u, v) = through
    reach = 10 / max(((u - x) ** 2 + (v - y) ** 2) ** 0.5, 1e-9)
    step = (u - x) * reach, (v - y) * reach
    return LineString([(x - step[0], y - step[1]), (x + step[0], y + step[1])])


def _like(old: PicturePart, polygon: Polygon) -> PicturePart:
    """A part of the same sugar with another outline; no longer a copy of anything."""
    fixed = old.kind == "filler" or old.kind in ROUNDS
    kind = old.kind if fixed else kind_of(polygon)
    return replace(reshaped(old, polygon), kind=kind, made_from=None)


def _named(part: PicturePart, name: str) -> PicturePart:
    return replace(part, id=slug(name), name=name)


def _check_free(parts: Sequence[PicturePart], names: Sequence[str]) -> None:
    taken = {part.id for part in parts}
    for name in names:
        if slug(name) in taken:
            raise PartWrong(repr(name), Sentence("is another part's name"), "choose another")


def instead_of(
    parts: Sequence[PicturePart], old: Sequence[PicturePart], new: Sequence[PicturePart]
) -> list[PicturePart]:
    """New parts where the first old one stood; copies of an old one stand by themselves now."""
    gone = {part.id for part in old}
    found: list[PicturePart] = []
    for part in parts:
        if part.id == old[0].id:
            found += new
        elif part.id not in gone:
            lost = part.made_from is not None and part.made_from.part in gone
            found.append(replace(part, made_from=None) if lost else part)
    return found
