"""Every address of the program, room by room."""

from django.urls import URLPattern, URLResolver, include, path
from django.views.generic import RedirectView

from shop.screens.health import health

urlpatterns: list[URLPattern | URLResolver] = [
    path("", RedirectView.as_view(pattern_name="office-today"), name="home"),
    path("health", health, name="health"),
    path("floor/", include("shop.screens.floor.urls")),
    path("office/", include("shop.screens.office.urls")),
    path("sync/", include("shop.sync.urls")),
]
