"""Text inside XML: 3MF models and SVG drawings."""

from __future__ import annotations


def escaped(text: str) -> str:
    """The text with what XML would read as its own marks written out.

    The standard library's own function lives in a module that loads an HTTP client, ten
    milliseconds that every start would pay.
    """
    for plain, written in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;")):
        text = text.replace(plain, written)
    return text
