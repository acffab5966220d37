"""The shop's own numbers and way, the history of each, and of all else the office changes."""

from django.db import models

from shop.models.base import AppendOnlyModel
from shop.models.shops import HASH, Shop


class ShopNumber(models.Model):
    """What a number is now, in its fixed unit."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    key = models.CharField(max_length=60)
    value = models.BigIntegerField()
    unit = models.CharField(max_length=12)
    source = models.CharField(max_length=200)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="number_once"),)

    def __str__(self) -> str:
        return f"{self.key} = {self.value} {self.unit}"


class NumberChange(AppendOnlyModel):
    """Who set a number to what, and when."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT)
    key = models.CharField(max_length=60)
    value = models.BigIntegerField()
    unit = models.CharField(max_length=12)
    source = models.CharField(max_length=200)
    by = models.CharField(max_length=60, default="", blank=True)
    at = models.BigIntegerField()

    def __str__(self) -> str:
        return f"{self.key} = {self.value} {self.unit} by {self.by}"


class Change(AppendOnlyModel):
    """Who changed what of people, phones, desks and the site: when, from what to what."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT)
    at = models.BigIntegerField()
    by = models.CharField(max_length=60, default="", blank=True)
    about = models.CharField(max_length=120)
    what = models.CharField(max_length=60)
    before = models.TextField(default="", blank=True)
    after = models.TextField(default="", blank=True)

    def __str__(self) -> str:
        return f"{self.about}, {self.what}: {self.before} to {self.after}"


class WayVersion(AppendOnlyModel):
    """One version of the shop's own way; the one with the highest number is in force."""

    once = (("shop", "number"),)

    # The constraint below is the index.
    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    number = models.BigIntegerField()
    # The version that was in force before it; 0: the way that came with the program.
    was = models.BigIntegerField(default=0)
    # Canonical JSON: what differs from the way that comes with the program.
    text = models.TextField()
    sha256 = models.CharField(max_length=HASH)
    note = models.CharField(max_length=200, default="", blank=True)
    at = models.BigIntegerField()
    by = models.CharField(max_length=60, default="", blank=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "number"), name="way_once"),)

    def __str__(self) -> str:
        return f"way {self.number}"
