"""A sentence in mm and C, retold for a maker who thinks in inches and F.

Rules, checks and refusals speak mm and degC.  Their sentences are not written twice: what a maker
reads is retold once, where it is shown.  Nothing is taken away; each figure gets its other unit
in brackets behind it, so that retelling a sentence twice does no harm.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping

from mouldgen.units.writing import fahrenheit, fahrenheit_degrees, in_inches

Written = Mapping[float, str]
_NOTHING_WRITTEN: Written = {}

_NUMBER = r"\d+(?:\.\d+)?"
# Not after a number that shares the unit, a place or a name; no example to be typed.
_ALONE = (
    r"(?<![\w.,/\"'])(?<!\d (?:to|or|by|up) )(?<!\d and )(?<!\d x )(?<!\bmm x )"
    r"(?<!\b[xyz] )(?<!\b[xyz] -)(?<!-)(?<!\bsuch as )"
)
_END = r"\b(?!\^|/|[\"']| \()"  # not mm2, mm/s, or told already
_LENGTH = re.compile(
    rf"{_ALONE}(?:"
    rf"(?P<shared>{_NUMBER}(?: mm)?(?: x {_NUMBER}(?: mm)?)*(?: x {_NUMBER} mm)"
    rf"|{_NUMBER} (?:to|or) {_NUMBER} mm)"
    rf"|(?P<one>{_NUMBER}) mm(?! x \d))"
    rf"{_END}"
)
_TEMPERATURE = re.compile(
    rf"(?<![\w.,/\"'-])(?<!\bsuch as )(?:(?P<low>-?{_NUMBER}) to )?(?P<one>-?{_NUMBER})"
    rf" (?P<unit>degC|C degrees){_END}"
)
_SAME_MM = 0.006  # half of the hundredth that lengths are told to, and a little


def with_inches(text: str, *, written: Written = _NOTHING_WRITTEN) -> str:
    """A sentence whose lengths in mm have inches beside them.

    A length that stands by itself, such as ``12.7 mm``, is told, and so are sizes and ranges that
    share their unit, such as ``120 x 40 mm`` or ``5 to 10 mm``.  A place, such as ``x 1.0, y 2.0
    mm``, and an example to be typed, such as ``"8 mm"``, stay as they are.
    The figure is converted as it is told.  Most are limits, which the nearest sixty-fourth could
    be on the wrong side of: a fraction stands only for what it says exactly, and the thousandths
    of ``at most 27.5 mm`` are rounded down, of ``at least 6.9 mm`` up.

    text : what a rule, a check or a refusal says.
    written : lengths [mm] and how the maker wrote them, such as ``1-1/8"``; a figure that is one
        of them is told as written.
    """

    def retold(found: re.Match[str]) -> str:
        if found["one"]:
            mm = float(found["one"])
            if mm == 0.0:
                return found[0]
            beside = _own(mm, written) or _as_near(mm, rounded=_rounding(found))
            return f"{found[0]} ({beside})"
        sizes = [float(number) for number in re.findall(_NUMBER, found["shared"])]
        between = " x " if " x " in found[0] else found[0].split(" ")[1].center(4)
        told = [_as_near(size).removesuffix(" in") for size in sizes]
        return f"{found[0]} ({between.join(told)} in)"

    return _LENGTH.sub(retold, text)


def as_written(text: str, written: Written) -> str:
    """A sentence with the maker's own words beside the lengths that are theirs, and nothing else.

    text, written : as `with_inches` takes them.
    """

    def retold(found: re.Match[str]) -> str:
        own = _own(float(found["one"]), written) if found["one"] else None
        return f"{found[0]} ({own})" if own else found[0]

    return _LENGTH.sub(retold, text)


def with_fahrenheit(text: str) -> str:
    """A sentence whose temperatures in degC have degF beside them.

    ``76 degC`` is a temperature, 168.8 degF; ``10 C degrees`` is a difference, 18 F degrees.  The
    ends of a range, such as ``55 to 61 degC``, are rounded outward to whole degF.

    text : what a rule, a check or a refusal says.
    """

    def retold(found: re.Match[str]) -> str:
        if found["unit"] != "degC":
            differs = [fahrenheit_degrees(float(v)) for v in (found["low"], found["one"]) if v]
            told = " to ".join(f"{round(value, 1):g}" for value in differs)
            return f"{found[0]} ({told} F degrees)"
        high = fahrenheit(float(found["one"]))
        if found["low"] is None:
            return f"{found[0]} ({round(high, 1):g} degF)"
        low = math.floor(fahrenheit(float(found["low"])) + 1e-6)
        return f"{found[0]} ({low} to {math.ceil(high - 1e-6)} degF)"

    return _TEMPERATURE.sub(retold, text)


def in_both(text: str, *, inches: bool, written: Written = _NOTHING_WRITTEN) -> str:
    """A sentence as its reader is told it.

    text : what a rule, a check or a refusal says.
    inches : whether the job is in inches, which then stand beside mm, and degF beside degC.
    written : as `with_inches` takes it; told to a reader of mm as well.
    """
    if inches:
        return with_fahrenheit(with_inches(text, written=written))
    return as_written(text, written) if written else text


def _rounding(found: re.Match[str]) -> Callable[[float], int]:
    """To the side that keeps what is told of a limit true."""
    if _MOST.search(found.string[: found.start()]) or _OR_LESS.match(found.string[found.end() :]):
        return math.floor
    if _LEAST.search(found.string[: found.start()]) or _OR_MORE.match(found.string[found.end() :]):
        return math.ceil
    return round


_MOST = re.compile(r"\bat most $")
_LEAST = re.compile(r"\bat least $")
_OR_LESS = re.compile(r"(?: \w+)? or (?:less|shorter|smaller|narrower|thinner)\b")
_OR_MORE = re.compile(r"(?: \w+)? or (?:more|longer|larger|wider|thicker|higher)\b")


def _own(mm: float, written: Written) -> str | None:
    near = (text for length, text in written.items() if abs(length - mm) <= _SAME_MM)
    return next(near, None) if mm else None


def _as_near(mm: float, *, rounded: Callable[[float], int] = round) -> str:
    inches = in_inches(mm)
    if mm > 0.0 and abs(inches.residual_mm) <= _SAME_MM:
        return inches.text
    # A thousandth that is meant is no more than the dust of a float away from one.
    return f"{rounded(round(mm / 0.0254, 6)) / 1000.0:.3f} in"
