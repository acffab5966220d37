"""A drawing as plain data: what the command line says and pages show."""

from typing import Any

from shop.craft.size import drawn_feature
from shop.picture.kinds import sides_of
from shop.picture.parts import polygon_of
from shop.picture.shapes import Drawn, Flaw, Motif, PicturePart, Section
from shop.picture.sums import repair_stock, rod_metres, whole_grams

Plain = dict[str, Any]
MM, MM2 = 1e3, 1e6


def drawing_as_plain(drawn: Drawn, stock_share: float) -> Plain:
    """`log colours parts motifs too_small mended stock mirror_symmetric`, units in the names.

    Grams are whole and add up to the log's.
    """
    grams = whole_grams(drawn.parts)
    copies = _copies(drawn.parts)
    return {
        "log": _log(drawn),
        "colours": _colours(drawn, grams),
        "parts": [_part(p, drawn.section, grams[p.id], copies.get(p.id, 1)) for p in drawn.parts],
        "motifs": [_motif(motif) for motif in drawn.motifs],
        "too_small": [_flaw(flaw) for flaw in drawn.flaws],
        "mended": {
            "changed_mm2": round(drawn.changed_m2 * MM2, 1),
            "share": round(drawn.changed_m2 / _disc(drawn), 4),
        },
        "stock_g": {
            name: round(kg * 1000) for name, kg in repair_stock(drawn.parts, stock_share).items()
        },
        "mirror_symmetric": drawn.mirror_symmetric,
    }


def _disc(drawn: Drawn) -> float:
    return float((drawn.raster.labels >= 0).sum()) * drawn.raster.metres_per_pixel**2


def _log(drawn: Drawn) -> Plain:
    section = drawn.section
    return {
        "mass_kg": section.log_kg,
        "diameter_mm": round(section.log_diameter_m * MM, 2),
        "length_mm": round(drawn.log_length_m * MM, 1),
        "rod_mm": round(section.rod_diameter_m * MM, 2),
        "rod_m": round(rod_metres(drawn.parts, section), 2),
        "area_mm2": round(sum(p.area_m2 for p in drawn.parts) * MM2, 1),
    }


def _colours(drawn: Drawn, grams: dict[str, int]) -> list[Plain]:
    """Every sugar of the drawing, also one of which mending left nothing; the casing's last."""
    whole = sum(part.area_m2 for part in drawn.parts)
    casing = next(part for part in drawn.parts if part.kind == "jacket")
    sugars = {c.id: (c.name, c.hex, c.treatment) for c in drawn.raster.palette}
    sugars |= {casing.portion: (casing.name, "", casing.treatment)}
    found = []
    for portion, (name, hex_, treatment) in sugars.items():
        own = [part for part in drawn.parts if part.portion == portion]
        area = sum(part.area_m2 for part in own)
        found.append(
            {
                "id": portion,
                "name": name,
                "hex": hex_,
                "treatment": treatment,
                "area_mm2": round(area * MM2, 1),
                "share": round(area / whole, 4),
                "mass_g": sum(grams[part.id] for part in own),
            }
        )
    return found


def _copies(parts: tuple[PicturePart, ...]) -> dict[str, int]:
    """How many are cut from each part that is made once."""
    found: dict[str, int] = {}
    for part in parts:
        if part.made_from:
            found[part.made_from.part] = found.get(part.made_from.part, 1) + 1
    return found


def _part(part: PicturePart, section: Section, grams: int, copies: int) -> Plain:
    made = part.made_from
    in_rod = drawn_feature(part.narrowest_m, section.log_diameter_m, section.rod_diameter_m)
    return {
        "id": part.id,
        "name": part.name,
        "colour": part.portion,
        "kind": part.kind,
        "treatment": part.treatment,
        "area_mm2": round(part.area_m2 * MM2, 1),
        "mass_g": grams,
        "size_mm": [round(v * MM, 1) for v in sides_of(polygon_of(part))],
        "narrowest_mm": round(part.narrowest_m * MM, 2),
        "narrowest_in_rod_mm": round(in_rod * MM, 3),
        "place_mm": [round(v * MM, 1) for v in part.place],
        "neighbours": list(part.neighbours),
        "copies": copies,
        "made_from": made.part if made else None,
        "turned": _turned(part),
    }


def _turned(part: PicturePart) -> str:
    """How a copy is laid, in the words of the bench."""
    if part.made_from is None:
        return ""
    words = ["end for end"] if part.made_from.flipped else []
    words += ["half a turn"] if part.made_from.half_turn else []
    return ", ".join(words) or "as built"


def _motif(motif: Motif) -> Plain:
    return {
        "id": motif.id,
        "parts": list(motif.parts),
        "copies": motif.copies,
        "turned_end_for_end": motif.flips,
        "scale": motif.scale,
        "build_mm": round(motif.build_m * MM, 1),
        "drawn_mm": round(motif.drawn_m * MM, 1),
        "minutes_saved": round(motif.minutes_saved, 1),
    }


def _flaw(flaw: Flaw) -> Plain:
    return {
        "kind": flaw.kind,
        "colour": flaw.colour,
        "place_mm": [round(v * MM, 1) for v in flaw.place],
        "width_mm": round(flaw.width_m * MM, 2),
        "in_rod_mm": round(flaw.in_rod_m * MM, 3),
        "needs_mm": round(flaw.limit_m * MM, 2),
        "repairs": [
            {"repair": offer.repair, "changed_mm2": round(offer.changed_m2 * MM2, 1)}
            for offer in flaw.offers
        ],
    }
