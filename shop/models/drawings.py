"""Pictures as they were drawn, version by version, and what customers said to their proofs."""

from django.db import models

from shop.models.base import AppendOnlyModel
from shop.models.shops import HASH, Shop

KEY = 24


class Drawing(models.Model):
    """A picture; `current` is the version that stands, `order` what it is worked out for."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    key = models.CharField(max_length=KEY)
    title = models.CharField(max_length=80)
    current = models.BigIntegerField(default=1)
    order = models.JSONField(default=dict, blank=True)
    by = models.CharField(max_length=60, default="", blank=True)
    at = models.BigIntegerField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="drawing_once"),)

    def __str__(self) -> str:
        return self.title


class DrawingVersion(AppendOnlyModel):
    """One state of a picture; `was` is the version it was made from, 0 for the first."""

    once = (("drawing", "number"),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT)
    drawing = models.ForeignKey(Drawing, on_delete=models.PROTECT, db_index=False)
    number = models.BigIntegerField()
    was = models.BigIntegerField(default=0)
    by = models.CharField(max_length=60, default="", blank=True)
    at = models.BigIntegerField()
    # What was done, in words.
    what = models.CharField(max_length=200)
    # Hash of the file it was read from, if any; its bytes lie with the photos.
    source = models.CharField(max_length=HASH, default="", blank=True)
    # The colours as a PNG of one byte a pixel, each an index into the palette of `choices`.
    labels = models.BinaryField()
    choices = models.JSONField(default=dict)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("drawing", "number"), name="drawing_version_once"),
        )

    def __str__(self) -> str:
        return f"{self.number}: {self.what}"


class Proof(AppendOnlyModel):
    """What a customer was shown, frozen: the very drawing, the version, the rod, the days."""

    once = (("shop", "key"),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    key = models.CharField(max_length=KEY)
    drawing = models.ForeignKey(Drawing, on_delete=models.PROTECT)
    number = models.BigIntegerField()
    title = models.CharField(max_length=80)
    rod_um = models.BigIntegerField()
    days = models.BigIntegerField()
    face = models.TextField()
    by = models.CharField(max_length=60, default="", blank=True)
    at = models.BigIntegerField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="proof_once"),)

    def __str__(self) -> str:
        return f"{self.title}, version {self.number}"


class ProofApproval(AppendOnlyModel):
    """That a customer said yes, and the moment; who it was stands in `ApprovalName`."""

    once = (("proof",),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT)
    # The constraint below is the index.
    proof = models.ForeignKey(Proof, on_delete=models.PROTECT, db_index=False, related_name="+")
    at = models.BigIntegerField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("proof",), name="approval_once"),)

    def __str__(self) -> str:
        return f"yes to proof {self.proof_id}"


class ApprovalName(models.Model):
    """The name as typed under a yes, apart from it: its row goes when a customer is erased."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    approval = models.OneToOneField(ProofApproval, on_delete=models.PROTECT, related_name="typed")
    name = models.CharField(max_length=80)

    def __str__(self) -> str:
        return self.name
