"""A picture from file, bench grid or text to what it takes to build it: the whole way at once."""

from dataclasses import dataclass, replace

from shop.picture.buildable import flaws_of
from shop.picture.colours import Reduced
from shop.picture.mend import SPECK, mended
from shop.picture.motifs import Bench, find_motifs, is_mirror_symmetric
from shop.picture.parts import parts_of
from shop.picture.place import lay_in
from shop.picture.shapes import Drawn, Limits, PaletteColour, Raster, Section
from shop.picture.sums import log_length
from shop.picture.thin import thin_places


@dataclass(frozen=True, slots=True)
class Shop:
    """What of the shop a drawing needs: limits, the bench, and the sugar of the casing."""

    limits: Limits
    bench: Bench
    casing: PaletteColour


def draw(reduced: Reduced, section: Section, shop: Shop) -> Drawn:
    """The reduced image in the section, mended at the least change, as parts and motifs.

    `flaws` are those of the drawing before it was mended. Raises NotRead where the picture is
    background only, TooLarge where the section leaves it no room.
    """
    speck = (SPECK * shop.limits.strip_m) ** 2
    return drawn_of(lay_in(reduced, section, speck), section, shop)


def drawn_of(raster: Raster, section: Section, shop: Shop) -> Drawn:
    """The same from a raster in its section already, such as lettering or a bench grid."""
    places = thin_places(raster, section, shop.limits)
    flaws = flaws_of(raster, section, shop.limits, places)
    fit = mended(raster, section, shop.limits, places) if flaws else None
    now = fit.raster if fit else raster
    parts = parts_of(now, section, shop.limits, shop.casing)
    parts, motifs = find_motifs(now, parts, section, shop.bench)
    return Drawn(
        raster=now,
        section=section,
        parts=parts,
        motifs=motifs,
        flaws=flaws,
        mirror_symmetric=is_mirror_symmetric(now),
        log_length_m=log_length(parts, section),
        before=raster,
        changed_m2=fit.changed_m2 if fit else 0.0,
    )


def in_section(drawn: Drawn, section: Section, shop: Shop) -> Drawn:
    """The same picture in another section: log, rod, casing, band or densities have changed.

    What was thick enough for one rod may be too thin for another, so the drawing is looked at
    anew from what was drawn, not from what was mended.
    """
    before = drawn.before if drawn.before is not None else drawn.raster
    metres = 2 * section.picture_radius_m / len(before.labels)
    return drawn_of(replace(before, metres_per_pixel=metres), section, shop)
