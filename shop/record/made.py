"""What went into a boil: each material with its mass, its lots and the facts a label needs.

From the frozen sheet and the fold's state, with what the store knows beside: lots that came after
the sheet was frozen, and scrap that was melted in.
"""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field

from shop.plan.canonical import canonical
from shop.plan.whole import half_up
from shop.record.check import Sheet
from shop.record.ingredients import Composition, Facts, Ingredient, Melted, together
from shop.record.steps import State
from shop.sentences import Sentence

__all__ = ["Composition", "Ingredient", "Melted", "Used", "composition", "composition_hash", "uses"]

PPM = 1_000_000
FOAM, PACK, SLAB = "foam", "pack", "slab"
# Neither weighed nor of a known share: what is left of them on the goods is not measured.
UNWEIGHED = (SLAB, FOAM)


def composition(
    sheet: Sheet,
    state: State,
    lots: Mapping[str, Facts] | None = None,
    melted: Sequence[Melted] = (),
) -> Composition:
    """What went into this boil; `lots` are the facts of lots that are not on the sheet."""
    made = _Making(sheet, state, lots or {})
    found = [made.ingredient(rows) for rows in made.by_material()]
    return Composition(
        ingredients=tuple(i for i in found if i.kind != PACK),
        packaging=tuple(i for i in found if i.kind == PACK),
        melted=tuple(melted),
        gaps=tuple(gap for i in found for gap in made.gaps(i)) + made.undyed(),
    )


def composition_hash(made: Composition) -> str:
    """Name of what a boil was made of: SHA-256 of its canonical JSON, in hex."""
    return hashlib.sha256(canonical(asdict(made)).encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class Used:
    """`mg` of a lot that a boil took; None where neither scale nor plan tells."""

    material: str
    lot: str
    mg: int | None


def uses(sheet: Sheet, state: State) -> list[Used]:
    """What the boil took of each lot that was said; together they weigh what went in.

    Where two sacks were used and nobody said how much of each, the rest is split evenly.
    """
    made = composition(sheet, state)
    return [used for i in (*made.ingredients, *made.packaging) for used in _shared(i, state)]


def _shared(one: Ingredient, state: State) -> list[Used]:
    said = {u["lot"]: u["mg"] for u in state["lots"] if u["material"] == one.material}
    lots = [lot for lot in one.lots if lot]
    own = {lot: mg for lot in lots if (mg := said.get(lot))}
    open_ = [lot for lot in lots if lot not in own]
    rest = None if one.mg is None else max(one.mg - sum(own.values()), 0)
    parts = {} if rest is None else dict(zip(open_, split(rest, len(open_)), strict=True))
    return [Used(one.material, lot, own.get(lot, parts.get(lot))) for lot in lots]


def split(mg: int, parts: int) -> list[int]:
    """`mg` in so many whole parts that differ by at most 1 and add up to it."""
    return [mg // parts + (i < mg % parts) for i in range(parts)]


@dataclass(slots=True)
class _Making:
    """The sheet's materials beside what was said of them."""

    sheet: Sheet
    state: State
    known: Mapping[str, Facts]
    said: dict[str, list[str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for used in self.state["lots"]:
            self.said.setdefault(used["material"], []).append(used["lot"])

    def by_material(self) -> list[list[Facts]]:
        """The rows of each material that went in, then what was said of none on the sheet."""
        rows: dict[str, list[Facts]] = {}
        for row in self.sheet.get("materials", []):
            if self._went_in(row):
                rows.setdefault(row["id"], []).append(row)
        strange = [key for key in self.said if key not in self._ids() and any(self.said[key])]
        return [*rows.values(), *([_unknown(key)] for key in strange)]

    def _ids(self) -> set[str]:
        return {row["id"] for row in self.sheet.get("materials", [])}

    def _went_in(self, row: Facts) -> bool:
        """Fat against foam only where it was said; of alternatives those that were said, or the
        first."""
        if self._lots(row["id"]) != [""] or not row["record"]:
            return row["kind"] != FOAM or row["id"] in self.said
        others = [r for r in self._alternatives(row) if self._lots(r["id"]) != [""]]
        return not others and row["id"] == self._alternatives(row)[0]["id"]

    def _alternatives(self, row: Facts) -> list[Facts]:
        if row["kind"] == "colour":
            return [row]
        return [r for r in self.sheet["materials"] if r["record"] == row["record"]]

    def _lots(self, material: str) -> list[str]:
        return [lot for lot in self.said.get(material, []) if lot] or [""]

    def ingredient(self, rows: list[Facts]) -> Ingredient:
        """One material, in all the places it went."""
        first, lots = rows[0], self._lots(rows[0]["id"])
        masses = [self._mass(row) for row in rows]
        known = [mg for mg, _ in masses if mg is not None]
        return Ingredient(
            material=first["id"],
            kind=first["kind"],
            name=first["name"],
            mg=sum(known) if len(known) == len(masses) else None,
            weighed=all(weighed for _, weighed in masses),
            lots=tuple(lots),
            facts=self._facts(first, lots),
        )

    def _mass(self, row: Facts) -> tuple[int | None, bool]:
        """What was weighed, or said with the lots, or is planned [mg]; and whether weighed."""
        said = [u["mg"] for u in self.state["lots"] if u["material"] == row["id"]]
        if row["kind"] == PACK:
            return self._pieces(row)
        if not row["record"]:
            whole = [mg for mg in said if mg]
            return (sum(whole), True) if whole and len(whole) == len(said) else (None, False)
        read = self.state["latest"].get(row["record"])
        whole = self.state["figures"].get(row["figure"]) if read is None else read
        share = None if whole is None else half_up(whole * row["ppm"], PPM)
        parts = len([r for r in self._alternatives(row) if self._went_in(r)])
        place = [r["id"] for r in self._alternatives(row) if self._went_in(r)].index(row["id"])
        return (share if share is None else split(share, parts)[place]), read is not None

    def _pieces(self, row: Facts) -> tuple[int | None, bool]:
        """Of what it was packed in so many, as they were counted."""
        tally = self.sheet["steps"].get(row["step"], {}).get("tally", "")
        counted = self.state["tallies"].get(tally)
        return counted, counted is not None

    def _facts(self, row: Facts, lots: Iterable[str]) -> Facts:
        on_sheet = {lot["id"]: lot.get("facts", {}) for lot in row["lots"]}
        return together(row["facts"], [self.known.get(x, on_sheet.get(x, {})) for x in lots])

    def gaps(self, one: Ingredient) -> list[str]:
        """What nobody said of an ingredient."""
        found: list[str] = []
        if one.kind == "":
            found.append(Sentence("{name} is not on this boil's sheet.", name=one.name))
        if "" in one.lots and one.kind != "water":
            found.append(Sentence("{name}: nobody said which lot.", name=one.name))
        if not one.weighed and one.mg is not None:
            found.append(Sentence("{name}: not weighed; as planned.", name=one.name))
        if one.mg is None and one.kind not in (*UNWEIGHED, PACK):
            found.append(Sentence("{name}: nobody said how much.", name=one.name))
        return found

    def undyed(self) -> tuple[str, ...]:
        """A coloured portion whose colour the store room does not know."""
        rows = self.sheet.get("materials")
        if rows is None:
            return (
                Sentence(
                    "The sheet was frozen before there was a store room: it names no materials."
                ),
            )
        dyed = {row["record"] for row in rows if row["kind"] == "colour"}
        bare = (p for p in self.sheet["portions"] if p.get("dye_mg_per_kg"))
        return tuple(
            Sentence("{name}: no colour of the store room makes it.", name=p["name"])
            for p in bare
            if p["record"] not in dyed
        )


def _unknown(key: str) -> Facts:
    plain = {"id": key, "name": key, "kind": "", "record": "", "figure": "", "ppm": PPM}
    return {**plain, "facts": {}, "lots": []}
