"""The shop and its counter, its devices, its people."""

from django.db import models

HASH = 64


class Shop(models.Model):
    """One workshop; this row is the counter that every write of an event locks."""

    slug = models.SlugField(max_length=40, unique=True)
    name = models.CharField(max_length=120)
    settings = models.JSONField(default=dict, blank=True)
    # Random; new when the database is made or restored, so that phones offer everything again.
    epoch = models.CharField(max_length=32)
    # When it was last put back to a backup; from then on phones may bring devices it forgot.
    restored = models.BigIntegerField(null=True, blank=True)
    head = models.BigIntegerField(default=0)
    head_hash = models.CharField(max_length=HASH, default="", blank=True)
    hlc_ms = models.BigIntegerField(default=0)
    hlc_count = models.BigIntegerField(default=0)

    def __str__(self) -> str:
        return self.name


class Device(models.Model):
    """Who makes events: a phone, or the shop's server itself."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="devices")
    key = models.CharField(max_length=24)
    name = models.CharField(max_length=60)
    station = models.CharField(max_length=40, default="", blank=True)
    is_server = models.BooleanField(default=False)
    token_sha256 = models.CharField(max_length=HASH, unique=True)
    added = models.BigIntegerField()
    locked_out_at = models.BigIntegerField(null=True, blank=True)
    seen = models.BigIntegerField(null=True, blank=True)
    head_seq = models.BigIntegerField(default=0)
    head_hash = models.CharField(max_length=HASH, default="", blank=True)
    # What the device itself last said its running head was; `verify` compares.
    told_seq = models.BigIntegerField(default=0)
    told_hash = models.CharField(max_length=HASH, default="", blank=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="device_once"),)

    def __str__(self) -> str:
        return f"{self.name} ({self.key})"


class JoinCode(models.Model):
    """Six digits that add one phone, for a quarter of an hour."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT)
    sha256 = models.CharField(max_length=HASH, db_index=True)
    expires = models.BigIntegerField()
    used = models.BigIntegerField(null=True, blank=True)

    def __str__(self) -> str:
        return f"code until {self.expires}"


class Person(models.Model):
    """Somebody who works here, as they stand on the phones."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="people")
    key = models.CharField(max_length=40)
    name = models.CharField(max_length=60)
    role = models.CharField(max_length=40)
    active = models.BooleanField(default=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="person_once"),)

    def __str__(self) -> str:
        return self.name
