"""Addresses of the desk."""

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import path

from shop.screens.office import calculators, kit, numbers, plan, site, today

urlpatterns = [
    path("", today.today, name="office-today"),
    path("live/", today.today_live, name="office-today-live"),
    path("sign-in/", LoginView.as_view(template_name="office/sign_in.html"), name="office-enter"),
    path("sign-out/", LogoutView.as_view(next_page="office-enter"), name="office-leave"),
    path("plan/", plan.plan, name="office-plan"),
    path("numbers/", numbers.numbers, name="office-numbers"),
    path("site/", site.site, name="office-site"),
    path("reckon/", calculators.calculator, name="office-reckon"),
    path("reckon/<str:name>/", calculators.calculator, name="office-reckon-one"),
    path("batch/<str:key>/sheet/", plan.sheet, name="office-sheet"),
    path("batch/<str:key>/paper/", plan.paper, name="office-paper"),
    path("batch/<str:key>/open/", plan.open_boil, name="office-open"),
    path("file/<str:name>", today.file, name="office-file"),
    path("phones/", kit.phones, name="office-phones"),
    path("phones/code/", kit.phone_code, name="office-phone-code"),
    path("phones/<str:device>/lock/", kit.phone_lock, name="office-phone-lock"),
    path("people/", kit.people, name="office-people"),
    path("people/<str:key>/switch/", kit.person_switch, name="office-person-switch"),
    path("batch/<str:key>/", today.record, name="office-record"),
    path("batch/<str:key>/live/", today.record_live, name="office-record-live"),
    path("batch/<str:key>/record.json", today.record_json, name="office-record-json"),
    path("batch/<str:key>/record.csv", today.record_csv, name="office-record-csv"),
]
