"""What is kept of the people: wrong PINs, skills that were signed, and incidents that were told."""

from django.db import models

from shop.models.base import AppendOnlyModel
from shop.models.shops import Device, Person, Shop


class WrongPins(models.Model):
    """Wrong PINs in a row for one person on one device, and how long it must wait."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    device = models.ForeignKey(Device, on_delete=models.PROTECT, db_index=False, related_name="+")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    wrong = models.BigIntegerField(default=0)
    wait_until = models.BigIntegerField(default=0)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("device", "person"), name="wrong_pins_once"),
        )

    def __str__(self) -> str:
        return f"{self.wrong} wrong for {self.person_id} on {self.device_id}"


class SkillNote(AppendOnlyModel):
    """One rung of one skill, signed; or that an earlier note was wrong (`struck`, `answers` it)."""

    once = (("shop", "key"),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT)
    key = models.CharField(max_length=32)
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="skills")
    skill = models.CharField(max_length=40)
    # watch, assist, solo or struck
    rung = models.CharField(max_length=8)
    # When it was done, and when it was signed [ms].
    happened = models.BigIntegerField()
    at = models.BigIntegerField()
    # The boil in which the floor recorded it; the key of the note that this one strikes.
    boil = models.CharField(max_length=64, default="", blank=True)
    answers = models.CharField(max_length=32, default="", blank=True)
    signed_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    signed_user = models.CharField(max_length=60, default="", blank=True)
    note = models.CharField(max_length=200, default="", blank=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="skill_note_once"),)

    def __str__(self) -> str:
        return f"{self.person_id} {self.rung}: {self.skill}"


class IncidentNote(models.Model):
    """What was told of an injury or a near miss: apart from the batches, and erasable."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    key = models.CharField(max_length=32)
    kind = models.CharField(max_length=12)
    happened = models.BigIntegerField()
    told = models.BigIntegerField()
    text = models.TextField()
    by = models.CharField(max_length=60, default="", blank=True)
    device = models.ForeignKey(
        Device, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="incident_once"),)

    def __str__(self) -> str:
        return f"{self.kind} at {self.happened}"
