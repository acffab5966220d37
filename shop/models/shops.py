"""The shop and its counter, who opens its office, its devices, its people."""

from django.conf import settings
from django.db import models

from shop.models.base import AppendOnlyModel

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


class Desk(models.Model):
    """A user who may open this shop's office."""

    shop = models.ForeignKey(Shop, on_delete=models.CASCADE, related_name="desks", db_index=False)
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE)
    # Who that is among the shop's people; their acts at the desk then carry that person.
    person = models.ForeignKey(
        "Person", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    # Whether this user may read what was told of injuries.
    sees_injuries = models.BooleanField(default=False)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "user"), name="desk_once"),)

    def __str__(self) -> str:
        return f"{self.user_id} at {self.shop_id}"


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
    # What the phone last said of itself (docs/contracts.md, section 5), and when.
    report = models.JSONField(default=dict, blank=True)
    reported = models.BigIntegerField(null=True, blank=True)
    # The phone whose place this one took.
    replaces = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

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
    # The phone that is locked out when the new one comes in.
    replaces = models.ForeignKey(
        Device, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    def __str__(self) -> str:
        return f"code until {self.expires}"


class KitCheck(AppendOnlyModel):
    """A phone looked over as kit: wiped, whole, broken, missing."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    device = models.ForeignKey(Device, on_delete=models.PROTECT, related_name="checks")
    found = models.CharField(max_length=12)
    by = models.CharField(max_length=60)
    at = models.BigIntegerField()

    def __str__(self) -> str:
        return f"{self.device_id} {self.found} at {self.at}"


class Person(models.Model):
    """Somebody who works here, as they stand on the phones."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="people")
    key = models.CharField(max_length=40)
    name = models.CharField(max_length=60)
    role = models.CharField(max_length=40)
    active = models.BooleanField(default=True)
    # Verifier text of the PIN (docs/contracts.md, section 5), "" for none; when it was set [ms].
    pin = models.CharField(max_length=160, default="", blank=True)
    pin_set = models.BigIntegerField(null=True, blank=True)
    # metric or us, and a language of settings.LANGUAGES; "" follows the shop.
    units = models.CharField(max_length=8, default="", blank=True)
    language = models.CharField(max_length=8, default="", blank=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="person_once"),)

    def __str__(self) -> str:
        return self.name
