"""How people write quantities: one number, one unit.

Nothing is guessed: a bare ounce, a decimal comma, a sign that makes no sense and a size that no
shop has are refused with what is allowed instead.
"""

from __future__ import annotations

import math
import re
import unicodedata
from fractions import Fraction

from mouldgen.errors import UnitError
from mouldgen.units.kinds import (
    ABSOLUTE_ZERO,
    ANGLE,
    DENSITY,
    FLOW,
    FORCE,
    KINDS,
    LENGTH,
    MASS,
    PRESSURE,
    TEMPERATURE,
    TIME,
    VISCOSITY,
    VOLUME,
    Kind,
)  # fmt: skip

LENGTH_UNITS = ("mm", "cm", "in")  # what a file may name as the unit of its bare lengths

_LONGEST_TEXT = 60
_OUNCES = {"oz", "ounce", "ounces", "fl oz", "floz", "fluid ounce", "fluid ounces"}


def length(value: object, *, default: str | None = None) -> float:
    """A length [mm].

    value : text such as ``1 3/16 in``, or a bare number where `default` says its unit.
    default : the file's unit of bare lengths, one of `LENGTH_UNITS`, or None.

    Raises UnitError for what is no length, is negative or is longer than a kilometre.
    """
    return _size(value, LENGTH, default=default)


def time(value: object, *, default: str | None = None) -> float:
    """A time [s].  `default` names a length unit and is not used.  Raises UnitError."""
    return _size(value, TIME, default=default)


def temperature(value: object, *, default: str | None = None) -> float:
    """A temperature [degC], not below absolute zero.  `default` is not used.  Raises UnitError."""
    number, unit = _read(value, TEMPERATURE, default=default)
    offset = 32 if "f" in unit.casefold() else 0
    celsius = (number - offset) * _factor(unit, TEMPERATURE, value)
    if celsius < ABSOLUTE_ZERO:
        raise UnitError(
            f"{_shown(value)} lies below absolute zero, which is -273.15 C",
            allowed=TEMPERATURE.allowed,
        )
    return _bounded(celsius, TEMPERATURE, value)


def force(value: object, *, default: str | None = None) -> float:
    """A force [N] of at least 0.  `default` is not used.  Raises UnitError."""
    return _size(value, FORCE, default=default)


def pressure(value: object, *, default: str | None = None) -> float:
    """A gauge pressure [kPa] of at least 0.  `default` is not used.  Raises UnitError."""
    return _size(value, PRESSURE, default=default)


def mass(value: object, *, default: str | None = None) -> float:
    """A mass [g] of at least 0.  `default` is not used.  Raises UnitError."""
    return _size(value, MASS, default=default)


def density(value: object, *, default: str | None = None) -> float:
    """A density [g/ml] of at least 0.  `default` is not used.  Raises UnitError."""
    return _size(value, DENSITY, default=default)


def viscosity(value: object, *, default: str | None = None) -> float:
    """A viscosity [Pa s] of at least 0.  `default` is not used.  Raises UnitError."""
    return _size(value, VISCOSITY, default=default)


def angle(value: object, *, default: str | None = None) -> float:
    """An angle [degrees] of at least 0.  `default` is not used.  Raises UnitError."""
    return _size(value, ANGLE, default=default)


def volume(value: object, *, default: str | None = None) -> float:
    """A volume [ml] of at least 0.  `default` is not used.  Raises UnitError."""
    return _size(value, VOLUME, default=default)


def flow(value: object, *, default: str | None = None) -> float:
    """A volume in a time [mm3/s] of at least 0.  `default` is not used.  Raises UnitError."""
    return _size(value, FLOW, default=default)


def _size(value: object, kind: Kind, *, default: str | None) -> float:
    number, unit = _read(value, kind, default=default)
    result = number * _factor(unit, kind, value)
    if result < 0:
        raise UnitError(
            f"{_shown(value)} is negative, and {kind.name} cannot be", allowed=kind.allowed
        )
    return _bounded(result, kind, value)


def _bounded(result: Fraction, kind: Kind, value: object) -> float:
    if result > Fraction(kind.most):
        raise UnitError(
            f"{_shown(value)} is far too large for {kind.name} in this shop",
            allowed=f"at most {kind.most:.0f} {_inside(kind)}; {kind.allowed}",
            try_="Look at the unit and at the place of the decimal point.",
        )
    return float(result)


def _inside(kind: Kind) -> str:
    return next(unit for unit, factor in kind.factors.items() if factor == 1)


def _read(value: object, kind: Kind, *, default: str | None) -> tuple[Fraction, str]:
    """Number and unit as written; the unit is `default` where none is written."""
    text = _text(value, kind)
    number, rest = _number(text, value, kind)
    if rest:
        return number, rest
    if default is None or kind is not LENGTH:
        raise UnitError(f"{_shown(value)} has no unit", allowed=kind.allowed)
    return number, default


def _text(value: object, kind: Kind) -> str:
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise UnitError(f"{_shown(value)} is not {kind.name}", allowed=kind.allowed)
    if not isinstance(value, str):
        try:
            finite = math.isfinite(value)
        except OverflowError:
            finite = False
        if not finite:
            raise UnitError(
                f"{_shown(value)} is not a number that a shop can use", allowed=kind.allowed
            )
        return repr(value)
    if len(value) > _LONGEST_TEXT:
        raise UnitError(f"{_shown(value)} is too long to be {kind.name}", allowed=kind.allowed)
    text = _plain(value)
    if not text:
        raise UnitError(f"there is nothing to read as {kind.name}", allowed=kind.allowed)
    if "," in text:
        raise UnitError(
            f"{_shown(value)} has a comma",
            allowed=kind.allowed,
            try_="Write decimals with a point, 22.5 and not 22,5, and thousands without a mark.",
        )
    return text


def _plain(text: str) -> str:
    """Typeset fractions, primes, dashes and spaces as a keyboard writes them."""
    parts = "".join(_keyed(sign, before) for before, sign in zip(" " + text, text, strict=False))
    plain = unicodedata.normalize("NFKC", parts)
    return " ".join(plain.translate({0x2044: "/", 0x2212: "-", 0x2013: "-"}).split())


def _keyed(sign: str, before: str) -> str:
    if sign in "\u2033\u201c\u201d":  # double prime and curly quotes
        return '"'
    if unicodedata.category(sign) != "No":
        return sign
    if "FRACTION" in unicodedata.name(sign, ""):
        return " " + unicodedata.normalize("NFKC", sign)  # 1½ is one and a half
    return sign if before.isalpha() else "^" + sign  # cm³ is a unit, 2³ no number


_FRACTION = re.compile(r"(-?)(?:([0-9]+)(?: ?- ?| ))?([0-9]+) ?/ ?([0-9]+)(?![0-9./])")
_DECIMAL = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")


def _number(text: str, value: object, kind: Kind) -> tuple[Fraction, str]:
    """The number that a text starts with, exactly, and what follows it."""
    found = _FRACTION.match(text)
    if found:
        number = _mixed(found, value, kind)
    else:
        found = _DECIMAL.match(text)
        if not found:
            raise UnitError(f"{_shown(value)} does not start with a number", allowed=kind.allowed)
        number = _decimal(found[0], value, kind)
    rest = text[found.end() :].strip()
    if rest and re.match(r"[0-9./\\+^-]", rest):
        raise UnitError(
            f"{_shown(value)} cannot be read as one number and one unit",
            allowed=kind.allowed,
            try_="A fraction is written 7/8, or 1 3/16, or 1-3/16.",
        )
    return number, rest


def _decimal(digits: str, value: object, kind: Kind) -> Fraction:
    near = float(digits)  # first: a Fraction of 1e999999999 would fill the memory
    if math.isinf(near):
        raise UnitError(f"{_shown(value)} is too large a number to work with", allowed=kind.allowed)
    if near == 0 and re.search(r"[1-9]", re.split("[eE]", digits)[0]):
        raise UnitError(f"{_shown(value)} is too small a number to work with", allowed=kind.allowed)
    return Fraction(digits) if near else Fraction(0)


def _mixed(found: re.Match[str], value: object, kind: Kind) -> Fraction:
    sign, whole, top, bottom = found.groups()
    if int(bottom) == 0:
        raise UnitError(f"{_shown(value)} divides by nothing", allowed=kind.allowed)
    part = Fraction(int(top), int(bottom))
    if whole and part >= 1:
        raise UnitError(
            f"{_shown(value)} has a whole number and a fraction that is not below one",
            allowed=kind.allowed,
        )
    number = int(whole or 0) + part
    return -number if sign else number


def _factor(unit: str, kind: Kind, value: object) -> Fraction:
    words = _unit_words(unit)
    if kind is PRESSURE:
        words = re.sub(r" ?\(?gauge\)?$", "", words, flags=re.IGNORECASE)
    factor = _look_up(words, kind)
    if factor is not None:
        return factor
    raise UnitError(
        f"{_shown(value)} has the unit {_one_line(unit)}, {_objection(words, kind)}",
        allowed=kind.allowed,
    )


def _unit_words(unit: str) -> str:
    return " ".join(re.sub(r"[·⋅*]", " ", unit).replace(".", "").replace("^", "").split())


def _look_up(words: str, kind: Kind) -> Fraction | None:
    return kind.factors.get(words, kind.factors.get(words.casefold()))


def _objection(words: str, kind: Kind) -> str:
    folded = words.casefold()
    if folded in _OUNCES:
        return "which is a volume in two sizes and a weight: write US fl oz, imp fl oz or weight oz"
    if folded in ("psia", "bara", "bar a") or folded.endswith((" abs", " absolute")):
        return "which is an absolute pressure; pressures are read as gauge, as the pot shows them"
    if folded == "mpa" and kind is PRESSURE:
        return "which could be milli or mega: write MPa"
    other = next((k for k in KINDS if k is not kind and _look_up(words, k) is not None), None)
    if other:
        return f"which is a unit of {_noun(other)}, and {kind.name} is asked for"
    return f"which is not known as a unit of {_noun(kind)}"


def _noun(kind: Kind) -> str:
    return kind.name.split(" ", 1)[1]


def _shown(value: object) -> str:
    try:
        text = f'"{_one_line(value)}"' if isinstance(value, str) else _one_line(str(value))
    except ValueError:  # an integer of more digits than Python will print
        text = "a number of thousands of digits"
    return text if len(text) <= _LONGEST_TEXT else f"{text[: _LONGEST_TEXT - 4]} ..."


def _one_line(text: str) -> str:
    """A message is one line, and steers no terminal."""
    return "".join(sign if sign.isprintable() else " " for sign in text)
