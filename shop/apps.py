"""The one Django application of the program."""

from django.apps import AppConfig


class ShopConfig(AppConfig):
    name = "shop"
    verbose_name = "Kettleside"
