"""The bench from hook to bag: air, section, draw, cut, pack."""

from typing import Any

from shop.craft import aerate, assemble, cut, pack, size
from shop.craft.bands import Doubt, band
from shop.craft.calculation import Answer, Option, Result, calculation
from shop.craft.glass import glass_transition
from shop.sentences import Sentence

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
    "pull",
    "How hot white must start on the hook",
    Option("end", "degC", "where it should end", needed=True),
    Option("time", "min", "on the hook", needed=True),
    Option("mass", "kg", "on the hook", needed=True),
    Option("area", "m^2", "hanging in the air", default="0.35m^2"),
    Option("coefficient", "W/m^2/K", "of skin that moves through air", default="25W/m^2/K"),
    Option("heat-capacity", "J/kg/K", "of the sugar", default="1900J/kg/K"),
    Option("room", "degC", "the room", default="23degC"),
)
def _pull(given: dict[str, Any]) -> Answer:
    def start(coefficient: float) -> float:
        pull = aerate.Pull(
            air_c=given["room"],
            minutes=given["time"],
            mass_kg=given["mass"],
            area_m2=given["area"],
            coefficient=coefficient,
            heat_capacity=given["heat-capacity"],
        )
        return pull.start_for(given["end"])

    at = band(start, {"coefficient": Doubt(given["coefficient"], 0.3 * given["coefficient"])})
    return Answer(
        {"start": Result(at.value, "degC", at.low, at.high)},
        ["One lump cooling in air"],
        [Sentence("The band is the air's coefficient ± 30 %: two readings of your own settle it.")],
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
    "skin",
    "How unlike skin and core are in the roller",
    Option("skin", "degC", "of the log", needed=True),
    Option("core", "degC", "of the log", needed=True),
    Option("moisture", "", "of the sugar", default="3%"),
)
def _skin(given: dict[str, Any]) -> Answer:
    apart = size.squeeze(given["skin"], given["core"], glass_transition(given["moisture"]))
    return Answer(
        {
            "core_hotter": Result(apart.core_hotter_k, "delta_degC"),
            "skin_stiffer": Result(apart.skin_stiffer, ""),
        },
        ["Williams, Landel and Ferry, universal constants"],
        [
            Sentence(
                "A soft heart in a stiff skin squeezes the picture; this ranks, it is not a force."
            )
        ],
    )


@calculation(
    "roll",
    "Rods turning at once, and the hands it takes",
    Option("rods", "", "to draw", "number", needed=True),
    Option("interval", "s", "from rod to rod", needed=True),
    Option("cool", "min", "until a rod stays round", default="8min"),
    Option("per-hand", "", "rods one hand keeps round", "number", default="7"),
    Option("hands", "", "that there are, at least 3", "number"),
)
def _roll(given: dict[str, Any]) -> Answer:
    cool = given["cool"]
    crew = size.rolling(
        rods=int(given["rods"]),
        interval_s=given["interval"],
        cool_min=cool,
        window_from_min=cool,
        rods_per_hand=given["per-hand"],
    )
    results = {
        "rods_at_once": Result(crew.rods_at_once, ""),
        "hands": Result(crew.hands, ""),
        "drawing_ends": Result(crew.drawing_ends_min, "min"),
    }
    if "hands" in given:
        slow = size.interval_for_hands(
            int(given["hands"]), cool_min=cool, rods_per_hand=given["per-hand"]
        )
        results["interval_for_hands"] = Result(slow, "s")
    clash = "Rods must be cut while others are still drawn." if crew.clash else "No clash."
    return Answer(results, [Sentence("Common practice, no source")], [clash])


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
        "jurisdiction",
        "",
        "where it is sold",
        "choice",
        default="EU",
        choices=("EU", "NI", "GB", "US"),
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
        [Sentence("Verify before use: ask your authority for weights and measures.")],
    )
