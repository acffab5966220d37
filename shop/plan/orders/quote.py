"""What an order costs this shop, sum by sum, and from that a price to ask. Money in hundredths.

cost = Σ materials + Σ hands + packs + sending; price = (cost + running) · (1 + gain). Every line is
rounded to a hundredth by itself, so that the column adds up to the foot exactly.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from shop.plan.crew import roles
from shop.plan.numbers import Numbers
from shop.plan.portion import PPM, Portion
from shop.plan.sheet import charge_for
from shop.plan.whole import half_up
from shop.sentences import Sentence

# So much plain white stands for a log nobody has drawn yet [um²].
PLAIN_AREA = 17_671_000_000


@dataclass(frozen=True, slots=True)
class Charged:
    """What goes into `logs` boils [mg]."""

    logs: int
    log_mg: int
    sugar: int
    syrup: int
    acid: int
    flavour: int
    colour: int


@dataclass(frozen=True, slots=True)
class Minutes:
    """Minutes a role works for one boil, and where that comes from."""

    minutes: int
    source: str


@dataclass(frozen=True, slots=True)
class Line:
    """One sum: what, how it comes about, what it costs, where the figures come from."""

    what: str
    how: str
    money: int
    source: str


@dataclass(frozen=True, slots=True)
class Quote:
    """The sums, their foot, what is laid on top, and the price they lead to."""

    lines: tuple[Line, ...]
    on_top: tuple[Line, ...]
    packs: int

    @property
    def cost(self) -> int:
        """The foot of the column."""
        return sum(line.money for line in self.lines)

    @property
    def price(self) -> int:
        """Cost with what is laid on top."""
        return self.cost + sum(line.money for line in self.on_top)

    @property
    def a_pack(self) -> int:
        """What that is a pack."""
        return half_up(self.price, self.packs)


def plain_white(numbers: Numbers) -> list[Portion]:
    """A log of nothing but white, for an order without a picture: no dye, no repair stock."""
    density = numbers["white_density"]
    return [Portion("white", "White", PLAIN_AREA, density, 0, 0, True)]


def charged(
    log_mg: int, logs: int, numbers: Numbers, portions: list[Portion], *, sour: bool
) -> Charged:
    """The charge of the plan, `logs` times, and what is added on the table.

    Acid and flavour are shares of the mass on the table without them (`sheet.charge_for`).
    """
    charge = charge_for(log_mg, numbers, portions)
    table = log_mg * PPM / (PPM - numbers["table_loss"])
    base = table * PPM / (PPM + numbers["acid_share"] + numbers["flavour_share"])
    acid = base * numbers["acid_share"] / PPM if sour else 0
    return Charged(
        logs,
        log_mg,
        charge["sugar"] * logs,
        charge["syrup"] * logs,
        round(acid) * logs,
        round(base * numbers["flavour_share"] / PPM) * logs,
        round(_powder(log_mg, portions, numbers)) * logs,
    )


def _powder(log_mg: int, portions: list[Portion], numbers: Numbers) -> float:
    """Colour powder of one log [mg]: Σ portion · dose / purity."""
    whole = sum(p.mg_per_metre for p in portions)
    dye = sum(log_mg * p.mg_per_metre / whole * p.dye_mg_per_kg / 1e6 for p in portions)
    return dye * PPM / numbers["dye_purity"]


def quote(
    given: Charged,
    packs: int,
    minutes: Mapping[str, Minutes],
    n: Numbers,
    sources: Mapping[str, str],
    *,
    sent: bool,
) -> Quote:
    """The quote for `packs` packs. `minutes` by role's id, `n` the counter's numbers, `sources`
    where each of them comes from."""
    lines = [*_materials(given, n, sources), *_hands(given.logs, minutes, n, sources)]
    lines.append(_times(Sentence("Packs"), packs, "", "price_pack", n, sources))
    if sent:
        lines.append(_times(Sentence("Sending"), 1, "", "price_send", n, sources))
    cost = sum(line.money for line in lines)
    running = _share(Sentence("Rent, gas and all else"), cost, "running_share", n, sources)
    gain = _share(Sentence("To be left over"), cost + running.money, "gain_share", n, sources)
    return Quote(tuple(lines), (running, gain), packs)


def _materials(given: Charged, n: Numbers, sources: Mapping[str, str]) -> list[Line]:
    found = []
    for name in ("sugar", "syrup", "acid", "flavour", "colour"):
        mg, price = getattr(given, name), n[f"price_{name}"]
        how = Sentence("{mass} × {money} a kg", mass=kilos(mg), money=money(price))
        key = f"price_{name}"
        found.append(Line(NAMES[name], how, half_up(mg * price, 1_000_000), sources[key]))
    return [line for line in found if not line.how.startswith("0 g")]


NAMES = {
    **{
        "sugar": Sentence("Sugar"),
        "syrup": Sentence("Glucose syrup"),
        "acid": Sentence("Citric acid"),
        "flavour": Sentence("Flavour"),
    },
    "colour": Sentence("Colour"),
}


def kilos(mg: int) -> str:
    """`8.42 kg`; below a tenth of a kilogram `28 g` or `2.4 g`."""
    if mg >= 100_000:
        return f"{mg / 1e6:.2f} kg"
    return f"{mg / 1000:.0f} g" if mg >= 10_000 or not mg else f"{mg / 1000:.1f} g"


def money(hundredths: int) -> str:
    """`12.50`, without a currency."""
    return f"{hundredths // 100}.{hundredths % 100:02d}"


def _hands(
    logs: int, minutes: Mapping[str, Minutes], n: Numbers, sources: Mapping[str, str]
) -> list[Line]:
    found = []
    for role in roles():
        worked, wage = minutes[role.id], n[f"wage_{role.id}"]
        times = f"{logs} × " if logs > 1 else ""
        how = Sentence(
            "{times}{minutes} min × {money} an hour",
            times=times,
            minutes=worked.minutes,
            money=money(wage),
        )
        cost = half_up(logs * worked.minutes * wage, 60)
        source = Sentence(
            "{source}; the hour: {wage}", source=worked.source, wage=sources[f"wage_{role.id}"]
        )
        found.append(Line(Sentence(role.name.capitalize()), how, cost, source))
    return found


def _times(
    what: str, times: int, unit: str, key: str, n: Numbers, sources: Mapping[str, str]
) -> Line:
    how = f"{times}{unit} × {money(n[key])}"
    return Line(what, how, times * n[key], sources[key])


def _share(what: str, of: int, key: str, n: Numbers, sources: Mapping[str, str]) -> Line:
    how = Sentence("{share:g} % of {money}", share=n[key] / 10_000, money=money(of))
    return Line(what, how, half_up(of * n[key], PPM), sources[key])
