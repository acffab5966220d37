"""Phones: adding, naming, looking over, locking out, replacing."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, gettext_lazy
from django.views.decorators.http import require_POST

from shop.launch.qr import svg_qr
from shop.plan.own_way import file_of_way
from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.phones_page import FOUND, KitLine, PhoneLine, kit_lines, phone_lines
from shop.store import phones as store_phones
from shop.store.access import access_device
from shop.store.clock import now_ms
from shop.store.errors import NotHere
from shop.store.shapes import ShopInfo


@dataclass(frozen=True, slots=True)
class CodePage:
    """A new code, shown once; `link` adds whoever opens it, `square` is its code as a drawing."""

    code: str
    link: str
    square: str
    replaces: str


@dataclass(frozen=True, slots=True)
class FirstVisit:
    """What a phone needs before it trusts this computer; the drawing leads to its first page."""

    link: str
    square: str
    fingerprint: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PhonesPage:
    """Every device, and perhaps a code."""

    phones: list[PhoneLine]
    code: CodePage | None
    first_visit: FirstVisit | None
    old_names: list[str]


class PhoneForm(forms.Form):
    """What a phone is called and where it usually stands."""

    name = forms.CharField(max_length=40)
    station = forms.ChoiceField(
        required=False,
        label=gettext_lazy("Station"),
        help_text=gettext_lazy("The phone opens there from then on."),
    )

    def __init__(self, *given: Any, **more: Any) -> None:
        super().__init__(*given, **more)
        stations = [(row["id"], row["name"]) for row in file_of_way("steps")["station"]]
        fields: dict[str, Any] = self.fields
        wall = ("wall", gettext("The wall: the whole crew’s next actions"))
        fields["station"].choices = [("", gettext("None")), *stations, wall]


def _lines(shop: ShopInfo) -> list[PhoneLine]:
    checks = store_phones.looked_over(shop.id)
    return phone_lines(store_phones.phones(shop.id), checks, now=now_ms(), zone=the_zone(shop))


def _phones(request: HttpRequest, shop: ShopInfo, code: CodePage | None = None) -> HttpResponse:
    page = PhonesPage(_lines(shop), code, _first_visit(), settings.OLD_NAMES)
    return render(request, "office/phones.html", {"page": page, "shop_name": shop.name})


def _first_visit() -> FirstVisit | None:
    """Nothing where phones trust this computer without it: a certificate from elsewhere."""
    link = settings.FIRST_VISIT
    return FirstVisit(link, svg_qr(link), settings.FINGERPRINT) if link else None


@at_desk
def phones(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Every device of the shop."""
    return _phones(request, shop)


@at_desk
@require_POST
def phone_code(request: HttpRequest, shop: ShopInfo, device: str = "") -> HttpResponse:
    """A code that adds one phone, in the place of `device` where that is named."""
    try:
        code = store_phones.new_code(shop.id, replaces=device)
        old = access_device(shop.id, device).name if device else ""
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    home = settings.HOME or request.build_absolute_uri("/")[:-1]
    link = f"{home}/floor/#add={code}"
    return _phones(request, shop, CodePage(code, link, svg_qr(link), old))


@at_desk
def phone(request: HttpRequest, shop: ShopInfo, device: str) -> HttpResponse:
    """One phone: its name and station, and all that can be done with it."""
    line = next((one for one in _lines(shop) if one.device == device and one.is_phone), None)
    if line is None:
        raise Http404(f"There is no phone {device!r} here.")
    form = PhoneForm(request.POST or None, initial={"name": line.name, "station": line.station})
    if request.method == "POST" and form.is_valid():
        by = request.user.get_username()
        store_phones.rename(shop_id=shop.id, device=device, by=by, **form.cleaned_data)
        said = gettext("%(name)s: the phone is told within minutes.")
        messages.success(request, said % {"name": form.cleaned_data["name"]})
        return redirect("office-phones")
    context = {"line": line, "form": form, "found": FOUND.items(), "shop_name": shop.name}
    return render(request, "office/phone.html", context)


@at_desk
@require_POST
def phone_found(request: HttpRequest, shop: ShopInfo, device: str) -> HttpResponse:
    """How the phone was found as kit."""
    found = request.POST.get("found", "")
    if found not in FOUND:
        raise Http404(f"A phone can't be found {found!r}.")
    try:
        by = request.user.get_username()
        store_phones.look_over(shop_id=shop.id, device=device, found=found, by=by)
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    return redirect("office-phones")


@at_desk
@require_POST
def phone_lock(request: HttpRequest, shop: ShopInfo, device: str) -> HttpResponse:
    """From now on this phone is refused; what it holds stays on it. Or taken back."""
    lock = request.POST.get("let") != "in"
    change = store_phones.lock_out if lock else store_phones.let_in
    try:
        change(shop_id=shop.id, device=device, by=request.user.get_username())
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    said = gettext("%(phone)s is let in again, and sends.")
    if lock:
        said = gettext("%(phone)s is locked out. What it still holds stays on it.")
    messages.success(request, said % {"phone": device})
    return redirect("office-phones")


@dataclass(frozen=True, slots=True)
class BreakablesPage:
    """The phones on the breakables list."""

    phones: list[KitLine]


@at_desk
def breakables(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Phones are glass: the list to count them by, to print."""
    listed, checks = store_phones.phones(shop.id), store_phones.looked_over(shop.id)
    page = BreakablesPage(kit_lines(listed, checks, the_zone(shop)))
    return render(request, "office/breakables.html", {"page": page, "shop_name": shop.name})
