"""Every address of the program, room by room."""

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("sync/", include("shop.sync.urls")),
]
