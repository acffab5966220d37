"""The pages of the rail, and in which of them the reader is."""

from django import template
from django.template.context import Context
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

register = template.Library()
# Addresses that begin otherwise than that of the page they belong to.
BELONGS = {
    "boils": ("batch", "compare", "plan"),
    "store-room": ("lot", "scrap", "trace", "called-back"),
    "numbers": ("lessons",),
    "site": ("changes", "labels"),
}


@register.simple_tag(takes_context=True)
def page(context: Context, name: str, words: str) -> SafeString:
    """A link to a page of the office, marked where the reader is in it (WAI-ARIA 1.2)."""
    here = context["request"].path_info.removeprefix("/office/")
    own = reverse(name).rpartition("/office/")[2]
    current = "page" if here == own else "true" if is_in(own, here) else "false"
    return format_html('<a href="{}" aria-current="{}">{}</a>', reverse(name), current, words)


def is_in(own: str, here: str) -> bool:
    """Whether an address belongs to a page of the rail; both without what all have in common."""
    page, first = own.partition("/")[0], here.partition("/")[0]
    return first == page or first in BELONGS.get(page, ())
