"""The bench after the boil: damp rooms, graining, inversion, flavours, a warm table."""

import math
from typing import Any

from shop.craft import keeping
from shop.craft.air import dew_point
from shop.craft.calculation import Answer, Option, Result, calculation
from shop.craft.colour import FLASH_POINTS, SHARES, flash_caution, share_of_table
from shop.craft.glass import glass_transition
from shop.craft.heat import bank_ready_minutes, bank_rise
from shop.craft.mixture import equilibrium_humidity
from shop.craft.reckon_kettle import BALANCE, IF97, STARZAK
from shop.sentences import Sentence


@calculation(
    "keep",
    "What the room's air does to a sweet",
    Option("moisture", "", "of the sweet", needed=True),
    Option("humidity", "", "relative humidity of the room", needed=True),
    Option("room", "degC", "temperature of the room", default="23degC"),
)
def _keep(given: dict[str, Any]) -> Answer:
    humidity, room = given["humidity"], given["room"]
    own = equilibrium_humidity(1 - given["moisture"], room)
    above = keeping.stickiness(humidity, room)
    drinks = Sentence("In this air it gives off water.")
    if humidity > own:
        drinks = Sentence("In this air it drinks water.")
    face = Sentence("Above 0 K its face is sticky; this one is not.")
    if above > 0:
        face = Sentence("Above 0 K its face is sticky, as this one is.")
    return Answer(
        {
            "equilibrium_humidity": Result(own * 100, "percent"),
            "face_moisture": Result(keeping.moisture_in_air(humidity, room) * 100, "percent"),
            "face_above_glass": Result(above, "delta_degC"),
            "dew_point": Result(dew_point(room, humidity), "degC"),
        },
        [STARZAK, IF97, "Gordon and Taylor's form"],
        [
            drinks,
            face,
            Sentence("A glassy sweet comes to this only at its face: good for ranking rooms."),
            Sentence("A sweet or a table colder than the dew point sweats."),
        ],
    )


@calculation(
    "grain",
    "Whether the sugar can grain",
    Option("solids", "", "dry solids", needed=True),
    Option("sucrose-share", "", "sucrose's share of them", default="78%"),
    Option("temperature", "degC", "of the sugar, up to 100 °C", needed=True),
)
def _grain(given: dict[str, Any]) -> Answer:
    solids, at = given["solids"], given["temperature"]
    over = keeping.supersaturation(solids, given["sucrose-share"], at)
    tg = glass_transition(1 - solids)
    return Answer(
        {
            "supersaturation": Result(over, ""),
            "glass_transition": Result(tg, "degC"),
            "can_be_held": Result(keeping.solubility(at) * 100, "percent"),
        },
        ["Charles 1960, from memory", "Gordon and Taylor's form"],
        [
            Sentence(
                "Graining: {keeping} (judgement, not a measurement).",
                keeping=keeping.graining(at, tg, over),
            )
        ],
    )


@calculation(
    "invert",
    "How much sucrose heat and acid split",
    Option("temperature", "degC", "of the sugar", needed=True),
    Option("time", "min", "at that temperature", needed=True),
    Option("ph", "", "of it", "number", needed=True),
)
def _invert(given: dict[str, Any]) -> Answer:
    share = keeping.inverted(given["temperature"], given["time"], given["ph"])
    return Answer(
        {"inverted": Result(share * 100, "percent")},
        ["Tombari et al., J. Phys. Chem. B 111 (2007) 496"],
        [Sentence("Dilute kinetics carried to a melt: indicative only, no source measures one.")],
    )


@calculation(
    "flavour",
    "Acid or flavour for what lies on the table",
    Option("on-table", "kg", "mass at that moment", needed=True),
    Option("share", "", "of that mass", needed=True),
    Option("carrier", "", "what it is dissolved in", "choice", choices=tuple(FLASH_POINTS)),
    Option("sugar", "degC", "temperature of the sugar", default="120degC"),
)
def _flavour(given: dict[str, Any]) -> Answer:
    grams = share_of_table(given["on-table"], given["share"]) * 1000
    caution = flash_caution(given.get("carrier", ""), given["sugar"])
    notes = [f"{caution[0].upper()}{caution[1:]}."] if caution else []
    return Answer({"dose": Result(grams, "g")}, [BALANCE, SHARES], notes)


@calculation(
    "iron",
    "How warm a pour leaves an uncooled table, and when it is ready",
    Option("heat", "J", "left in the iron, such as 1.23 MJ a batch", needed=True),
    Option("iron", "kg", "the table", needed=True),
    Option("table", "degC", "before the pour", default="30degC"),
    Option("ready", "degC", "ready to pour again at", default="35degC"),
    Option("room", "degC", "the room", default="23degC"),
    Option("halves-in", "min", "its warmth over the room's halves in", default="30min"),
)
def _iron(given: dict[str, Any]) -> Answer:
    rise = bank_rise(given["heat"], given["iron"])
    after = given["table"] + rise
    results = {"rise": Result(rise, "delta_degC"), "table_after": Result(after, "degC")}
    if after > given["ready"]:
        tau = given["halves-in"] / math.log(2)
        minutes = bank_ready_minutes(after, given["ready"], given["room"], tau)
        results["ready_in"] = Result(minutes, "min")
    note = "The time it halves in is this table's own: read it twice, half an hour apart."
    return Answer(results, [Sentence("Heat into one lump of steel, 470 J/kg K")], [note])
