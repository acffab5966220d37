"""Addresses under /sync/; each answers JSON, also where there is nothing, but a file itself."""

from django.urls import path, re_path

from shop.sync import views

app_name = "sync"

urlpatterns = [
    path("join", views.join, name="join"),
    path("push", views.push, name="push"),
    path("pull", views.pull_new, name="pull"),
    path("phone", views.phone, name="phone"),
    path("pin", views.pin, name="pin"),
    path("company", views.company, name="company"),
    path("incident", views.incident, name="incident"),
    path("move", views.move, name="move"),
    path("sheet/<str:name>", views.sheet, name="sheet"),
    path("file/<str:name>", views.file, name="file"),
    path("batch/<str:key>", views.batch, name="batch"),
    re_path("", views.nowhere, name="nowhere"),
]
