"""Can hands lay it and can eyes read it: every place that is too small, with its repairs."""

from collections.abc import Sequence
from dataclasses import replace

from shop.craft.size import drawn_feature
from shop.picture.errors import PartWrong
from shop.picture.mend import changes, offers
from shop.picture.shapes import Flaw, Limits, Raster, Repair, Section, TooSmall
from shop.picture.thin import ThinPlace, is_hole, thin_places


def flaws_of(
    raster: Raster,
    section: Section,
    limits: Limits,
    places: Sequence[ThinPlace] | None = None,
) -> tuple[Flaw, ...]:
    """Every place below a limit, with its width at the log and in the rod, and its repairs.

    A width is read along the place's skeleton, sure to a pixel of the raster. `places`: its thin
    places, where they are known already.
    """
    if places is None:
        places = thin_places(raster, section, limits)
    return tuple(_flaw(place, raster, section, limits) for place in places)


def _flaw(place: ThinPlace, raster: Raster, section: Section, limits: Limits) -> Flaw:
    width = place.width * raster.metres_per_pixel
    return Flaw(
        kind=_kind(place, width, raster, limits),
        colour=raster.palette[place.region.label].id,
        place=raster.point(*place.at),
        width_m=width,
        in_rod_m=drawn_feature(width, section.log_diameter_m, section.rod_diameter_m),
        limit_m=place.limit * raster.metres_per_pixel,
        area_m2=len(place.pixels.rows) * raster.metres_per_pixel**2,
        offers=offers(raster, place),
    )


def _kind(place: ThinPlace, width: float, raster: Raster, limits: Limits) -> TooSmall:
    """The hands' limit is told first; a width is only known to a pixel."""
    if width + raster.metres_per_pixel < limits.strip_m:
        return "gap" if place.region.is_field else "strip"
    return "hole" if is_hole(place.region, raster) else "line"


def repaired(
    raster: Raster, section: Section, limits: Limits, flaw: Flaw, repair: Repair
) -> Raster:
    """The raster after one repair of one of its own flaws.

    Raises PartWrong for a flaw that is not there (any more), or a repair it does not offer.
    """
    for place in thin_places(raster, section, limits):
        if raster.point(*place.at) != flaw.place:
            continue
        for change in changes(raster.labels, place):
            if change.repair == repair:
                labels = raster.labels.copy()
                labels[change.pixels.rows, change.pixels.columns] = change.labels
                return replace(raster, labels=labels)
    where = "({:.1f}, {:.1f}) mm".format(*(1000 * v for v in flaw.place))
    raise PartWrong(f"The place at {where}", f"can't be mended by {repair}", "look at it again")
