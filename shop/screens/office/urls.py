"""Addresses of the desk."""

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import path

from shop.screens.office import (
    calculators,
    changes,
    numbers,
    people,
    phones,
    plan,
    shops,
    site,
    today,
)

urlpatterns = [
    path("", today.today, name="office-today"),
    path("live/", today.today_live, name="office-today-live"),
    path("sign-in/", LoginView.as_view(template_name="office/sign_in.html"), name="office-enter"),
    path("sign-out/", LogoutView.as_view(next_page="office-enter"), name="office-leave"),
    path("plan/", plan.plan, name="office-plan"),
    path("numbers/", numbers.numbers, name="office-numbers"),
    path("numbers/of/<slug:other>/", numbers.numbers_of, name="office-numbers-of"),
    path("changes/", changes.all_changes, name="office-changes"),
    path("site/", site.site, name="office-site"),
    path("reckon/", calculators.calculator, name="office-reckon"),
    path("reckon/<str:name>/", calculators.calculator, name="office-reckon-one"),
    path("batch/<str:key>/sheet/", plan.sheet, name="office-sheet"),
    path("batch/<str:key>/paper/", plan.paper, name="office-paper"),
    path("batch/<str:key>/open/", plan.open_boil, name="office-open"),
    path("file/<str:name>", today.file, name="office-file"),
    path("phones/", phones.phones, name="office-phones"),
    path("phones/code/", phones.phone_code, name="office-phone-code"),
    path("phones/breakables/", phones.breakables, name="office-breakables"),
    path("phones/<str:device>/", phones.phone, name="office-phone"),
    path("phones/<str:device>/replace/", phones.phone_code, name="office-phone-replace"),
    path("phones/<str:device>/found/", phones.phone_found, name="office-phone-found"),
    path("phones/<str:device>/lock/", phones.phone_lock, name="office-phone-lock"),
    path("people/", people.people, name="office-people"),
    path("people/<str:key>/switch/", people.person_switch, name="office-person-switch"),
    path("shops/", shops.all_shops, name="office-shops"),
    path("shops/<slug:slug>/desk/", shops.desk, name="office-desk"),
    path("batch/<str:key>/", today.record, name="office-record"),
    path("batch/<str:key>/live/", today.record_live, name="office-record-live"),
    path("batch/<str:key>/record.json", today.record_json, name="office-record-json"),
    path("batch/<str:key>/record.csv", today.record_csv, name="office-record-csv"),
]
