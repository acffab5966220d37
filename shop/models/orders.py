"""Customers and what they order; what was said of an order stays, who they are can be erased."""

from django.db import models

from shop.models.base import AppendOnlyModel
from shop.models.batches import Batch
from shop.models.drawings import Drawing
from shop.models.shops import Shop

KEY = 24


class Customer(models.Model):
    """Who orders; the only place that knows how to reach them, so that it can be erased."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    key = models.CharField(max_length=KEY)
    name = models.CharField(max_length=80)
    # Lines to reach them by: e-mail, telephone, address; "" once erased.
    reach = models.TextField(default="", blank=True)
    at = models.BigIntegerField()
    erased = models.BigIntegerField(null=True, blank=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="customer_once"),)
        indexes = (models.Index(fields=("shop", "name"), name="customer_by_name"),)

    def __str__(self) -> str:
        return self.name


class Order(models.Model):
    """One order as it stands; `said` is the intake (docs/contracts.md), `stage` how far it is."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    # What the shop calls it: W-0117.
    number = models.CharField(max_length=20)
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="orders")
    drawing = models.ForeignKey(
        Drawing, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    stage = models.CharField(max_length=12)
    title = models.CharField(max_length=120)
    # Days as 2026-12-04; "" where not said.
    due = models.CharField(max_length=10, default="", blank=True)
    make_day = models.CharField(max_length=10, default="", blank=True)
    said = models.JSONField(default=dict, blank=True)
    # Lower-case words of title, picture, flavour, text and colours, to be found by.
    words = models.TextField(default="", blank=True)
    entries = models.BigIntegerField(default=0)
    at = models.BigIntegerField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "number"), name="order_once"),)
        indexes = (
            models.Index(fields=("shop", "id"), name="order_newest"),
            models.Index(fields=("shop", "stage", "due"), name="order_stage"),
            models.Index(fields=("shop", "make_day"), name="order_make_day"),
        )

    def __str__(self) -> str:
        return self.number


class OrderEntry(AppendOnlyModel):
    """One thing that was said or done about an order; names nobody but those who work here."""

    once = (("order", "number"),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    order = models.ForeignKey(
        Order, on_delete=models.PROTECT, db_index=False, related_name="history"
    )
    number = models.BigIntegerField()
    at = models.BigIntegerField()
    by = models.CharField(max_length=60, default="", blank=True)
    # asked, changed, quoted, agreed, planned, delivered, … (docs/contracts.md)
    what = models.CharField(max_length=20)
    body = models.JSONField(default=dict)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("order", "number"), name="order_entry_once"),
        )

    def __str__(self) -> str:
        return f"{self.order_id} {self.number}: {self.what}"


class OrderBoil(models.Model):
    """That a boil was made for an order; one order may take several, one boil serve several."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    order = models.ForeignKey(Order, on_delete=models.PROTECT, db_index=False, related_name="boils")
    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, related_name="for_orders")

    class Meta:
        constraints = (models.UniqueConstraint(fields=("order", "batch"), name="order_boil_once"),)

    def __str__(self) -> str:
        return f"{self.batch_id} for {self.order_id}"


class Delivery(AppendOnlyModel):
    """Packs of a boil that went to a customer; one that came back has fewer than none."""

    once = (("shop", "key"),)

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, db_index=False)
    key = models.CharField(max_length=KEY)
    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, related_name="deliveries")
    # Sold at the counter: no order.
    order = models.ForeignKey(
        Order, on_delete=models.PROTECT, null=True, blank=True, related_name="deliveries"
    )
    packs = models.BigIntegerField()
    # The day it went, as 2026-12-03.
    day = models.CharField(max_length=10)
    at = models.BigIntegerField()
    by = models.CharField(max_length=60, default="", blank=True)
    note = models.CharField(max_length=200, default="", blank=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("shop", "key"), name="delivery_once"),)

    def __str__(self) -> str:
        return f"{self.packs} of {self.batch_id}"
