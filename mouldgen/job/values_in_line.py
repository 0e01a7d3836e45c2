"""The values of a list that stand in one line, such as ``29.7, 30.1 mm``."""

from __future__ import annotations

import re

# A comma straight between two digits may be that of 29,7: not where other numbers of the row have
# a point or a fraction beside it, nor in 29,30,31.
_DOUBTFUL = re.compile(r"(?<!\d,)(?<![\d./])\d+,\d+(?![\d./]|,\d)")
_SPACED = re.compile(r"(?:[0-9.]+\s+)+[0-9.]+\s*[^\s0-9,;/]*")


def values_in(text: str) -> list[str]:
    """The values, each as it was typed.

    text : values with commas or semicolons between; or plain numbers with blanks between and one
        unit behind the last.

    What may be a decimal comma, as in ``29,7 mm``, parts nothing: it is refused where the value
    is read, and not taken for two.
    """
    if _SPACED.fullmatch(text.strip()):
        parts = re.split(r"\s+(?=[0-9.])", text.strip())
    elif _DOUBTFUL.search(text):
        parts = re.split(r";|,(?!\d)", text)
    else:
        parts = re.split(r"[,;]", text)
    return [part.strip() for part in parts if part.strip()]
