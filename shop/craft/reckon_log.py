"""The bench from hook to bag: air, section, draw, cut, pack."""

from typing import Any

from shop.craft import aerate, assemble, cut, pack, size
from shop.craft.calculation import Answer, Option, Result, calculation

VOLUME = "Conservation of volume"


@calculation(
    "air",
    "Air in pulled sugar",
    Option("clear", "kg/m^3", "density of clear sugar", needed=True),
    Option("pulled", "kg/m^3", "density of pulled sugar", needed=True),
)
def _air(given: dict[str, Any]) -> Answer:
    pair = given["clear"], given["pulled"]
    return Answer(
        {
            "air_fraction": Result(aerate.air_fraction(*pair) * 100, "percent"),
            "overrun": Result(aerate.overrun(*pair) * 100, "percent"),
        },
        ["Definition; the mass of the air is neglected"],
    )


@calculation(
    "section",
    "A log from its parts",
    Option("parts", "kg@kg/m^3", "such as 6.00kg@1500kg/m^3,5.34kg@1150kg/m^3", "parts", True),
    Option("log-diameter", "m", "of the log", needed=True),
)
def _section(given: dict[str, Any]) -> Answer:
    parts = given["parts"]
    whole = assemble.volume(parts)
    shares = assemble.area_shares(parts)
    return Answer(
        {
            "volume": Result(whole * 1000, "L"),
            "density": Result(assemble.density(parts), "kg/m^3"),
            "log_length": Result(assemble.log_length(whole, given["log-diameter"]) * 1000, "mm"),
            "area_shares": Result([share * 100 for share in shares], "percent"),
        },
        [VOLUME],
    )


@calculation(
    "draw",
    "A log drawn to a rod",
    Option("log-diameter", "m", "of the log", needed=True),
    Option("log-length", "m", "of the log", needed=True),
    Option("rod-diameter", "m", "of the rod", needed=True),
    Option("feature", "m", "a line in the log"),
)
def _draw(given: dict[str, Any]) -> Answer:
    pair = given["log-diameter"], given["rod-diameter"]
    results = {
        "length_ratio": Result(size.length_ratio(*pair), ""),
        "diameter_ratio": Result(size.diameter_ratio(*pair), ""),
        "rod_length": Result(given["log-length"] * size.length_ratio(*pair), "m"),
    }
    if "feature" in given:
        drawn = size.drawn_feature(given["feature"], *pair)
        results["drawn_feature"] = Result(drawn * 1000, "mm")
    return Answer(results, [VOLUME])


@calculation(
    "cut",
    "Pieces from a rod",
    Option("rod-length", "m", "of good rod", needed=True),
    Option("rod-diameter", "m", "of the rod", needed=True),
    Option("density", "kg/m^3", "of the rod", needed=True),
    Option("piece-length", "m", "of a piece", needed=True),
    Option("kerf", "m", "lost at each cut", default="0mm"),
)
def _cut(given: dict[str, Any]) -> Answer:
    each = cut.piece_mass(given["rod-diameter"], given["piece-length"], given["density"])
    count = cut.pieces(given["rod-length"], given["piece-length"], given["kerf"])
    results = {"pieces": Result(count, ""), "piece_mass": Result(each * 1000, "g")}
    return Answer(results, [VOLUME])


@calculation(
    "pack",
    "Pieces to a pack, and what to fill",
    Option("nominal", "g", "mass on the label", needed=True),
    Option("piece", "g", "mass of a piece", needed=True),
    Option("scatter", "g", "standard deviation of packs", default="0g"),
    Option(
        "jurisdiction", "", "where it is sold", "choice", default="EU", choices=("EU", "UK", "US")
    ),
)
def _pack(given: dict[str, Any]) -> Answer:
    where = given["jurisdiction"]
    target = pack.fill_target(given["nominal"], given["scatter"], where)
    source = pack.HANDBOOK if where == "US" else pack.DIRECTIVE
    return Answer(
        {
            "pieces": Result(pack.pieces_per_pack(target, given["piece"]), ""),
            "tolerable_error": Result(pack.tolerable_error(given["nominal"], where), "g"),
            "fill_target": Result(target, "g"),
        },
        [source],
        ["Verify before use: ask your authority for weights and measures."],
    )
