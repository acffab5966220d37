"""What lies in the store room: materials, their lots, where each gram went, and scrap."""

from django.db import models

from shop.models.base import AppendOnlyModel
from shop.models.batches import Batch
from shop.models.shops import Shop

KEY = 24


class Material(models.Model):
    """Something that is bought: sugar, glucose syrup, an acid, a colour, oil, bags."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    key = models.CharField(max_length=40)
    name = models.CharField(max_length=80)
    # sugar, syrup, acid, flavour, colour, slab, foam or pack
    kind = models.CharField(max_length=12)
    # What a label and a plan need of it (docs/contracts.md): name for the list, function, number,
    # allergens, made from, strength.
    facts = models.JSONField(default=dict, blank=True)
    in_use = models.BooleanField(default=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="material_once"),)

    def __str__(self) -> str:
        return self.name


class MaterialLot(models.Model):
    """One delivery of a material from one maker's lot; what is left follows from its moves."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    key = models.CharField(max_length=KEY)
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="lots")
    # The supplier's own mark on the sack.
    mark = models.CharField(max_length=60)
    supplier = models.CharField(max_length=80)
    # Days as 2026-11-02.
    received = models.CharField(max_length=10)
    best_before = models.CharField(max_length=10, default="", blank=True)
    # What its own papers say beyond the material's: allergens, sulphites, strength.
    facts = models.JSONField(default=dict, blank=True)
    # open, held (nobody may use it) or gone
    state = models.CharField(max_length=8, default="open")
    at = models.BigIntegerField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="lot_once"),)
        indexes = (models.Index(fields=("shop", "mark"), name="lot_by_mark"),)

    def __str__(self) -> str:
        return self.mark


class LotMove(AppendOnlyModel):
    """Milligrams of a lot in (+) or out (−) by the desk's hand; what boils took is in LotUse."""

    once = (("shop", "key"),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    key = models.CharField(max_length=KEY)
    lot = models.ForeignKey(MaterialLot, on_delete=models.PROTECT, related_name="moves")
    mg = models.BigIntegerField()
    # received, counted, thrown, sent-back
    why = models.CharField(max_length=12)
    at = models.BigIntegerField()
    by = models.CharField(max_length=60, default="", blank=True)
    note = models.CharField(max_length=200, default="", blank=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="lot_move_once"),)

    def __str__(self) -> str:
        return f"{self.mg} mg {self.why}"


class LotUse(models.Model):
    """What a boil took of which lot, as its entries say; written anew whenever it is folded."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    batch = models.ForeignKey(
        Batch, on_delete=models.PROTECT, db_index=False, related_name="lot_uses"
    )
    lot = models.ForeignKey(
        MaterialLot, on_delete=models.PROTECT, db_index=False, related_name="uses"
    )
    # None where nobody weighed it.
    mg = models.BigIntegerField(null=True, blank=True)
    at = models.BigIntegerField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("batch", "lot"), name="lot_use_once"),)
        # What is left of a lot is summed from the index alone.
        indexes = (models.Index(fields=("lot", "mg"), name="use_by_lot"),)

    def __str__(self) -> str:
        return f"{self.lot_id} in {self.batch_id}"


class Scrap(AppendOnlyModel):
    """Sugar of a boil that was kept to be melted back, or why it must not be."""

    once = (("shop", "key"),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    key = models.CharField(max_length=KEY)
    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, related_name="scrap")
    mg = models.BigIntegerField()
    # ends, dust, seconds, portion or floor
    what = models.CharField(max_length=12)
    # sour (0/1), flavour, swatch, allergens, spoilt (why it is never melted back)
    facts = models.JSONField(default=dict)
    at = models.BigIntegerField()
    by = models.CharField(max_length=60, default="", blank=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="scrap_once"),)

    def __str__(self) -> str:
        return f"{self.mg} mg {self.what}"


class ScrapMove(AppendOnlyModel):
    """Milligrams of a tin's scrap that went: into a boil, or into the bin."""

    once = (("shop", "key"),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    key = models.CharField(max_length=KEY)
    scrap = models.ForeignKey(Scrap, on_delete=models.PROTECT, related_name="moves")
    mg = models.BigIntegerField()
    # The boil it was melted into; none: binned.
    batch = models.ForeignKey(
        Batch, on_delete=models.PROTECT, null=True, blank=True, related_name="melted"
    )
    at = models.BigIntegerField()
    by = models.CharField(max_length=60, default="", blank=True)
    note = models.CharField(max_length=200, default="", blank=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="scrap_move_once"),)

    def __str__(self) -> str:
        return f"{self.mg} mg of {self.scrap_id}"


class Recall(AppendOnlyModel):
    """That goods are called back: of which lots and boils, and why."""

    once = (("shop", "key"),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    key = models.CharField(max_length=KEY)
    # {"lots": [keys], "boils": [keys]}
    of = models.JSONField(default=dict)
    why = models.CharField(max_length=200)
    at = models.BigIntegerField()
    by = models.CharField(max_length=60, default="", blank=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="recall_once"),)

    def __str__(self) -> str:
        return self.why


class RecallTold(AppendOnlyModel):
    """That somebody who got goods was told, or that it came to nothing yet."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    recall = models.ForeignKey(Recall, on_delete=models.PROTECT, related_name="told")
    # Number of the order, "" for what went over the counter.
    order = models.CharField(max_length=20, default="", blank=True)
    how = models.CharField(max_length=200)
    packs_back = models.BigIntegerField(default=0)
    at = models.BigIntegerField()
    by = models.CharField(max_length=60, default="", blank=True)

    def __str__(self) -> str:
        return f"{self.order}: {self.how}"
