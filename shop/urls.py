"""Every address of the program, room by room."""

from django.urls import URLPattern, URLResolver, include, path
from django.views.generic import RedirectView

from shop.screens.health import health
from shop.screens.metrics import metrics
from shop.screens.office.proof import proof

urlpatterns: list[URLPattern | URLResolver] = [
    path("", RedirectView.as_view(pattern_name="office-today"), name="home"),
    path("health", health, name="health"),
    path("metrics", metrics, name="metrics"),
    path("floor/", include("shop.screens.floor.urls")),
    path("office/", include("shop.screens.office.urls")),
    # A customer's, who has no account: what the link names and nothing else.
    path("proof/<str:token>/", proof, name="proof"),
    path("sync/", include("shop.sync.urls")),
]

handler404 = "shop.screens.broken.nowhere"
handler500 = "shop.screens.broken.broken"
