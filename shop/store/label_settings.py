"""What the shop puts on every label, and the sizes of labels it has paper for."""

from dataclasses import asdict, dataclass
from typing import Any

from django.db import transaction

from shop.labels.label import Lines
from shop.models import Shop
from shop.store.changes import note
from shop.store.errors import OutOfRange
from shop.store.shapes import ShopInfo

LABELS = "labels"
MM = 1000
# ISO 216 and US letter [um]; a roll's paper is the label itself.
PAPERS = {"roll": None, "A4": (210_000, 297_000), "letter": (215_900, 279_400)}
MOST_SIZES = 6


@dataclass(frozen=True, slots=True)
class Size:
    """A label the shop has paper for [um], on a roll or so many to a sheet; `face_mm2` is the
    largest side of the bag it goes on."""

    name: str
    wide_um: int
    high_um: int
    paper: str
    face_mm2: int


@dataclass(frozen=True, slots=True)
class LabelSettings:
    """The shop's own lines and its sizes, the usual one first."""

    lines: Lines
    sizes: tuple[Size, ...]


SIZES = (
    Size("Bag, sheets of labels", 70_000, 50_000, "A4", 15_000),
    Size("Bag, roll", 100_000, 60_000, "roll", 15_000),
)
STORAGE = "Keep dry and cool, out of the sun. Close the bag."
AGE = "Hard sweets: not for children under 4. Choking hazard."
LIMITS_UM = {"wide_um": (20_000, 200_000), "high_um": (15_000, 280_000)}


def label_settings(shop: ShopInfo) -> LabelSettings:
    """As they stand; until the shop writes its own, its name and address from the site."""
    own = dict(shop.settings.get(LABELS, {}))
    sizes = tuple(Size(**row) for row in own.pop("sizes", [])) or SIZES
    usual = {"business": shop.name, "address": shop.settings.get("site_address", "")}
    return LabelSettings(
        Lines(**{**usual, "storage": STORAGE, "months": 12, "age": AGE, **own}), sizes
    )


def set_label_settings(*, shop: ShopInfo, settings: LabelSettings, by: str = "") -> None:
    """Write them down; labels that were printed keep theirs. Locks the shop's row.

    Raises OutOfRange; then nothing changed.
    """
    for size in settings.sizes:
        _check(size)
    after = {**asdict(settings.lines), "sizes": [asdict(size) for size in settings.sizes]}
    with transaction.atomic():
        row = Shop.objects.select_for_update(no_key=True).get(pk=shop.id)
        before = dict(row.settings.get(LABELS, {}))
        row.settings = {**row.settings, LABELS: after}
        row.save(update_fields=["settings"])
        note(shop_id=shop.id, by=by, about=LABELS, before=_flat(before), after=_flat(after))


def _flat(settings: dict[str, Any]) -> dict[str, object]:
    """As the history tells it: a line for each size."""
    sizes = settings.get("sizes", [])
    plain: dict[str, object] = {k: v for k, v in settings.items() if k != "sizes"}
    words = [_words(Size(**row)) for row in sizes]
    return {**plain, "sizes": "; ".join(words)} if sizes else plain


def _words(size: Size) -> str:
    wide, high = size.wide_um // MM, size.high_um // MM
    return f"{size.name} {wide} × {high} mm, {size.paper}, side {size.face_mm2 // 100} cm²"


def _check(size: Size) -> None:
    for name, (low, high) in LIMITS_UM.items():
        value = getattr(size, name)
        if not low <= value <= high:
            raise OutOfRange(f"{size.name}, {name[:4]}", value // MM, low // MM, high // MM)
    sheet = PAPERS[size.paper]
    if sheet and (size.wide_um > sheet[0] or size.high_um > sheet[1]):
        raise OutOfRange(f"{size.name}, wide", size.wide_um // MM, 20, sheet[0] // MM)
