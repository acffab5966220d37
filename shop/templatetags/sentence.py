"""How a page writes a sentence that a room without Django put together."""

from django import template

from shop.sentences import in_words

register = template.Library()


@register.filter
def opening(words: object) -> str:
    """In the reader's language, with a capital as at the beginning of a line.

    Django's own `capfirst` takes a sentence for plain text and loses what it was made of.
    """
    said = str(in_words(words))
    return said[:1].upper() + said[1:]
