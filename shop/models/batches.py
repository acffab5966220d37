"""The sheet, the batch, what happened, what could not be filed, and the fold of it all."""

from django.db import models

from shop.models.base import AppendOnlyModel
from shop.models.shops import HASH, Device, Shop


class Sheet(AppendOnlyModel):
    """A frozen batch sheet; its name is the hash of its canonical text."""

    once = (("shop", "hash"),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    hash = models.CharField(max_length=HASH)
    text = models.TextField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "hash"), name="sheet_once"),)

    def __str__(self) -> str:
        return self.hash


class Batch(models.Model):
    """One boil; everything here but the sheet follows from its events."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    key = models.CharField(max_length=64)
    lot = models.CharField(max_length=40)
    letter = models.CharField(max_length=2)
    pattern = models.CharField(max_length=12)
    title = models.CharField(max_length=120)
    sheet = models.ForeignKey(Sheet, on_delete=models.PROTECT)
    phase = models.CharField(max_length=12, default="planned")
    opened_position = models.BigIntegerField(default=0)
    position = models.BigIntegerField(default=0)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="batch_once"),)
        # The newest for pages; for a pull the open ones, those opened and those that went on since.
        indexes = (
            models.Index(fields=("shop", "id"), name="batch_newest"),
            models.Index(fields=("shop", "phase"), name="batch_phase"),
            models.Index(fields=("shop", "opened_position"), name="batch_opened"),
            models.Index(fields=("shop", "position"), name="batch_position"),
        )

    def __str__(self) -> str:
        return self.key


class Event(AppendOnlyModel):
    """One fact, in the very text its maker wrote; the plain columns only point into it."""

    once = (("device", "seq"), ("shop", "position"))

    # The constraints below serve as the indexes: four more would only slow the writing.
    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    position = models.BigIntegerField()
    device = models.ForeignKey(Device, on_delete=models.PROTECT, db_index=False, related_name="+")
    seq = models.BigIntegerField()
    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, db_index=False)
    line = models.TextField()
    sha256 = models.CharField(max_length=HASH)
    received = models.BigIntegerField()
    # How far its clock stood ahead of the receipt [ms]; 0 within the five minutes allowed.
    ahead = models.BigIntegerField(default=0)
    carried_by = models.ForeignKey(
        Device, on_delete=models.PROTECT, null=True, blank=True, db_index=False, related_name="+"
    )
    chain = models.CharField(max_length=HASH)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("shop", "position"), name="position_once"),
            models.UniqueConstraint(fields=("device", "seq"), name="event_once"),
        )
        indexes = (models.Index(fields=("batch", "position"), name="event_of_batch"),)

    def __str__(self) -> str:
        return f"{self.position}: {self.line[:60]}"


class Aside(AppendOnlyModel):
    """What could not be filed, byte for byte, and why."""

    once = (("shop", "device", "seq", "sha256"),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    # Text, not a key: the device may be one the shop has never heard of.
    device = models.CharField(max_length=24)
    seq = models.BigIntegerField()
    line = models.BinaryField()
    sha256 = models.CharField(max_length=HASH)
    reason = models.CharField(max_length=16)
    say = models.TextField()
    received = models.BigIntegerField()
    carried_by = models.ForeignKey(
        Device, on_delete=models.PROTECT, null=True, blank=True, db_index=False, related_name="+"
    )
    # Whether it stands at its number in the device's own sequence; a fork does not.
    occupies = models.BooleanField(default=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("shop", "device", "seq", "sha256"), name="aside_once"),
        )

    def __str__(self) -> str:
        return f"{self.device}:{self.seq} {self.reason}"


class KeptFile(AppendOnlyModel):
    """A photo or a sound that is here whole; its bytes lie in a file named by their hash."""

    once = (("shop", "sha256"),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    sha256 = models.CharField(max_length=HASH)
    size = models.BigIntegerField()
    type = models.CharField(max_length=40)
    received = models.BigIntegerField()
    device = models.ForeignKey(Device, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "sha256"), name="file_once"),)

    def __str__(self) -> str:
        return f"{self.type} {self.sha256[:12]}"


class Projection(models.Model):
    """The fold of a batch up to a position, so that a page need not fold again."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    batch = models.OneToOneField(Batch, on_delete=models.PROTECT)
    position = models.BigIntegerField()
    fold_version = models.IntegerField()
    # Canonical text rather than a JSON column: `verify` compares it byte for byte.
    state = models.TextField()

    def __str__(self) -> str:
        return f"{self.batch_id} at {self.position}"


class BoilFacts(models.Model):
    """What a boil is found and listed by, as of a position; written anew when it went on."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    batch = models.OneToOneField(Batch, on_delete=models.PROTECT, related_name="facts")
    position = models.BigIntegerField()
    fold_version = models.IntegerField()
    # The make day as 2026-11-25.
    day = models.CharField(max_length=10)
    customer = models.CharField(max_length=80, default="", blank=True)
    flavour = models.CharField(max_length=80, default="", blank=True)
    order_number = models.CharField(max_length=20, default="", blank=True)
    # Lower-case: title, customer, flavour, order, lot, parts, remarks, what went off.
    words = models.TextField(default="", blank=True)
    # Swatches as on the sheet, `#rrggbb` with a blank between.
    colours = models.CharField(max_length=400, default="", blank=True)
    bags = models.BigIntegerField(null=True, blank=True)
    packed_mg = models.BigIntegerField(null=True, blank=True)
    yield_ppm = models.BigIntegerField(null=True, blank=True)
    went_off = models.BigIntegerField(default=0)

    class Meta:
        indexes = (models.Index(fields=("shop", "-day", "-batch"), name="boil_facts_by_day"),)

    def __str__(self) -> str:
        return f"{self.batch_id} at {self.position}"
