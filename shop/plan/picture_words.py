"""The answer about a picture in words, for a terminal."""

from collections.abc import Iterator
from typing import Any

Plain = dict[str, Any]
MOST_FLAWS, MOST_LOST = 12, 4


def in_words(answer: Plain) -> str:
    """Verdict, log, sugars, what is too small, parts, what is built once, the build, the look."""
    lines = [*_log(answer), *_verdict(answer["verdict"]), *_colours(answer), *_flaws(answer)]
    lines += [*_parts(answer), *_motifs(answer), *_build(answer["build"])]
    return "\n".join([*lines, *_legibility(answer)])


def _log(answer: Plain) -> Iterator[str]:
    log = answer["log"]
    yield (
        f"{answer['title']}: {log['mass_kg']:g} kg log, {log['diameter_mm']:g} × "
        f"{log['length_mm']:.0f} mm, {log['rod_m']:.1f} m of {log['rod_mm']:g} mm rod"
    )
    both = "either end" if answer["mirror_symmetric"] else "one end only; mark the reading end"
    yield f"  reads from {both}"


def _verdict(verdict: Plain) -> Iterator[str]:
    yield f"Can we make it? {verdict['says']}"
    for offer in verdict["counter_offers"]:
        would = "" if offer["passes"] else " (not enough alone)"
        yield (
            f"  instead: {offer['says']}{would}: {offer['minutes']:.0f} min, "
            f"{offer['metres']:.0f} m, {offer['packs']} bags"
        )
    for ask in verdict["to_ask"]:
        yield f"  still to ask: {ask}"


def _colours(answer: Plain) -> Iterator[str]:
    for colour in answer["colours"]:
        share = f"{colour['share'] * 100:5.1f} %"
        stock = answer["stock_g"].get(colour["id"])
        kept = f", {stock} g of repair stock beside it" if stock else ""
        yield f"  {colour['name']:14}{share}{colour['mass_g']:7} g  {colour['treatment']}{kept}"


def _flaws(answer: Plain) -> Iterator[str]:
    flaws = answer["too_small"]
    if not flaws:
        yield "Nothing is too small."
        return
    share = answer["mended"]["share"] * 100
    yield f"Too small: {len(flaws)} places; mended by changing {share:.1f} % of the picture"
    for flaw in flaws[:MOST_FLAWS]:
        x, y = flaw["place_mm"]
        first = flaw["repairs"][0]["repair"] if flaw["repairs"] else "nothing"
        yield (
            f"  {flaw['colour']} {flaw['kind']} at ({x:g}, {y:g}) mm: {flaw['width_mm']:.1f} mm, "
            f"{flaw['in_rod_mm']:.2f} in the rod, needs {flaw['needs_mm']:.1f}; {first}"
        )
    if len(flaws) > MOST_FLAWS:
        yield f"  and {len(flaws) - MOST_FLAWS} more"


def _parts(answer: Plain) -> Iterator[str]:
    yield f"Parts: {len(answer['parts'])}"
    for part in answer["parts"]:
        made = f"  from {part['made_from']}, {part['turned']}" if part["made_from"] else ""
        yield (
            f"  {part['name']:22}{part['kind']:11}{part['mass_g']:6} g{part['area_mm2']:9.0f} mm²"
            f"{part['narrowest_mm']:7.1f} mm{part['narrowest_in_rod_mm']:6.2f} in the rod{made}"
        )


def _motifs(answer: Plain) -> Iterator[str]:
    for motif in answer["motifs"]:
        turned = motif["turned_end_for_end"]
        turn = f", turn {turned} end for end" if turned else ""
        yield (
            f"Make once: {', '.join(motif['parts'])} at {motif['scale']:g} times the size, "
            f"{motif['build_mm']:.0f} mm long; draw to {motif['drawn_mm']:.0f}, cut "
            f"{motif['copies']}{turn}; saves {motif['minutes_saved']:.1f} min of one hand"
        )


def _build(build: Plain) -> Iterator[str]:
    yield f"Build: {build['says']} ({build['proof']})"
    for row in build["order"]:
        slack = "" if row["slack_s"] is None else f"{row['slack_s'] / 60:6.1f} min to spare"
        yield (
            f"  {row['n']:3} {row['name']:24}{row['start_s'] / 60:6.1f} to "
            f"{row['end_s'] / 60:5.1f} min  {row['hand']:8}{slack}"
        )


def _legibility(answer: Plain) -> Iterator[str]:
    told = answer["legibility"]
    reads = "reads" if told["reads"] else "hardly reads"
    scatter = told.get("scatter")
    span = f" ({scatter['low']:.2f} to {scatter['high']:.2f})" if scatter else ""
    yield f"At arm's length it {reads}: {told['score']:.2f}{span}, {told['metric']}"
    names = {colour["hex"]: colour["name"].lower() for colour in answer["colours"]}
    for lost in told["lost"][:MOST_LOST]:
        x, y = lost["place"]
        kept, name = f"{lost['kept'] * 100:.0f} % kept", names.get(lost["colour"], lost["colour"])
        yield f"  lost: {name} at ({x:g}, {y:g}) mm of the rod, {kept}"
    if told["lost_count"] > MOST_LOST:
        yield f"  and {told['lost_count'] - MOST_LOST} more"
