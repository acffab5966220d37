"""The floor of the office's pages: a view that asks once, by an index, and says what it found."""

from django.http import HttpRequest, HttpResponse
from django.urls import path

from shop.models import Batch


def one(_: HttpRequest, key: str) -> HttpResponse:
    """The title of a boil."""
    return HttpResponse(Batch.objects.values_list("title", flat=True).get(shop_id=1, key=key))


urlpatterns = [path("one/<str:key>/", one)]
