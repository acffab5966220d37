"""How to work with it: the pages a phone has too, at the desk."""

import re
from pathlib import Path

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.templatetags.static import static
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_GET

from shop.screens.office.access import at_desk
from shop.store.shapes import ShopInfo

FOLDER = Path(settings.STATIC_DIR) / "guide"
INDEX = "index"
LINK = re.compile(r'href="#/guide/([a-z]+-\d\d)"')
TITLE = re.compile("<h1>(.*?)</h1>")
PICTURE = re.compile(r'src="([a-z]+\.webp)"')


@at_desk
@require_GET
def guide(request: HttpRequest, shop: ShopInfo, name: str = INDEX) -> HttpResponse:
    """One page, or all of them."""
    if name not in {path.stem for path in FOLDER.glob("*.html")}:
        raise Http404(f"The guide has no page {name}.")
    text = page(name)
    title = TITLE.search(text)
    shown = {"page": text, "title": title[1] if title else "", "several": name != INDEX}
    return render(request, "office/guide.html", {**shown, "shop_name": shop.name})


def page(name: str) -> SafeString:
    """The page's text with addresses that hold at the desk."""
    text = (FOLDER / f"{name}.html").read_text("utf-8")
    text = LINK.sub(lambda m: f'href="{reverse("office-guide-page", args=[m[1]])}"', text)
    text = PICTURE.sub(lambda m: f'src="{static(f"guide/{m[1]}")}"', text)
    # Our own text, in the program's folder; nobody can write there who could not write the program.
    return mark_safe(text)  # noqa: S308  # our own text
