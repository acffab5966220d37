"""Labels as they were printed."""

from django.db import models

from shop.models.base import AppendOnlyModel
from shop.models.batches import Batch
from shop.models.shops import HASH, Shop


class LabelPrint(AppendOnlyModel):
    """A label as it was printed: the very text, and what it was made from."""

    once = (("batch", "number"),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    # The constraint below is the index.
    batch = models.ForeignKey(
        Batch, on_delete=models.PROTECT, db_index=False, related_name="labels"
    )
    number = models.BigIntegerField()
    # EU, GB, NI or US
    place = models.CharField(max_length=4)
    # Canonical JSON of everything on the label.
    text = models.TextField()
    # Hash of what went into the boil when it was printed; another one makes the label stale.
    made_of = models.CharField(max_length=HASH)
    copies = models.BigIntegerField()
    at = models.BigIntegerField()
    by = models.CharField(max_length=60, default="", blank=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("batch", "number"), name="label_once"),)

    def __str__(self) -> str:
        return f"{self.batch_id} label {self.number}"
