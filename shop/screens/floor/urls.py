"""Addresses of the floor."""

from django.urls import path

from shop.screens.floor import views

urlpatterns = [
    path("sw.js", views.worker, name="floor-worker"),
    path("manifest.webmanifest", views.manifest, name="floor-manifest"),
    path("pack-<str:build>.json", views.pack, name="floor-pack"),
    path("rest-<str:build>.json", views.rest, name="floor-rest"),
    path("", views.shell, name="floor"),
    path("<path:path>", views.shell, name="floor-page"),
]
