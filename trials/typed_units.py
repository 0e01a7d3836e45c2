"""Measures as people type them: read to the last bit where they are meant, else refused.

Half of the cases are a measure whose truth is known, in one of the spellings of a shop; the others
are anything, for the readers of measures, prices, days and times of day, and for every key of a
job file as it is typed.
"""

from __future__ import annotations

import math
import random
import sys
from collections.abc import Callable
from fractions import Fraction

from mouldgen import units
from mouldgen.errors import InputError
from mouldgen.job import keys
from mouldgen.job.clock import clock
from mouldgen.job.day import read_day
from mouldgen.job.load import setting_value
from mouldgen.job.offset import offset
from mouldgen.job.price import pack, price
from mouldgen.job.typed import typed
from mouldgen.job.values_in_line import values_in
from mouldgen.job.written import written
from mouldgen.units import kinds
from mouldgen.units.kinds import Kind
from trials import tally
from trials.claims import must, said

READERS: dict[str, tuple[Kind, Callable[..., float]]] = {
    "length": (kinds.LENGTH, units.length),
    "time": (kinds.TIME, units.time),
    "temperature": (kinds.TEMPERATURE, units.temperature),
    "force": (kinds.FORCE, units.force),
    "pressure": (kinds.PRESSURE, units.pressure),
    "mass": (kinds.MASS, units.mass),
    "density": (kinds.DENSITY, units.density),
    "viscosity": (kinds.VISCOSITY, units.viscosity),
    "angle": (kinds.ANGLE, units.angle),
    "volume": (kinds.VOLUME, units.volume),
    "flow": (kinds.FLOW, units.flow),
}
WHOLES = {"½": (1, 2), "¼": (1, 4), "¾": (3, 4), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8)}
PARTS = (
    "1", "22", "0", "3/16", " ", "-", "/", ".", "e", "E5", "1e400", "½", "²", "mm", "in", '"', "″",
    "°C", "F", "psi", "oz", "US fl oz", "g/ml", "Pa s", "min", ",", ";", ":", "x", "to", "nan",
    "inf", "(gauge)", "per", "for", "kg", "%", "+", "±", "~", "\u00a0", "\u2009", "\u2212",
    "\u2044", "٣", "\uff12",
    "五", "Ⅻ", "①", "\u202e", "\x00", "\x1b[31m", "\n", "\t", "\u200b", "e\u0301",
    "9" * 70, "8:00", "25:00", "2026-12-18", "18 Dec 2026", "31 Feb 2026", "Feb", "[", "]", "yes",
    "true", "auto", "0x1F", "1_0", "'", "ft", "m", "\U0001faba", "\ud800",
)  # fmt: skip


def case(seed: int) -> str:
    """One thing that was typed."""
    rng = random.Random(seed)
    return _meant(rng) if rng.random() < 0.5 else _anything(rng)


def _meant(rng: random.Random) -> str:
    kind, read = READERS[rng.choice(list(READERS))]
    unit = rng.choice(list(kind.factors))
    number, text = _number(rng)
    told = text + _apart(rng, text, unit) + _unit(rng, unit)
    zero = 32 if kind is kinds.TEMPERATURE and "f" in unit else 0
    truth = (number - zero) * kind.factors[unit]
    try:
        found = read(told)
    except InputError as problem:
        said(str(problem))
        too_cold = kind is kinds.TEMPERATURE and truth < kinds.ABSOLUTE_ZERO
        below = too_cold or (kind is not kinds.TEMPERATURE and truth < 0)
        must(below or truth > Fraction(kind.most), f"{told!r} was refused: {problem}")
        return "refused as it should be"
    must(found == float(truth), f"{told!r} is {found!r}, not {float(truth)!r}")
    return "read as meant"


def _number(rng: random.Random) -> tuple[Fraction, str]:
    """What is meant, and a spelling of it."""
    whole = rng.choice((0, 1, 2, 7, 22, 120, 4096))
    way = rng.randrange(6)
    if way == 0:
        text = f"{whole}.{rng.randrange(10 ** rng.randint(1, 6))}"
        return Fraction(text), rng.choice((text, f"+{text}"))
    if way == 1:
        text = f"{whole}{rng.choice(('', '.', '.0', 'e1', 'e-2', 'E+1'))}"
        return Fraction(text.removesuffix(".")), text
    if way == 2:
        bottom = rng.choice((2, 3, 4, 8, 16, 32, 64, 1000))
        top = rng.randrange(1, bottom)
        slash = rng.choice(("/", " / ", "\u2044"))
        between = rng.choice((" ", "-", " - ", "  "))
        head = f"{whole}{between}" if whole else ""
        return whole + Fraction(top, bottom), f"{head}{top}{slash}{bottom}"
    if way == 3:
        sign = rng.choice(list(WHOLES))
        head = f"{whole}{rng.choice(('', ' '))}" if whole else ""
        return whole + Fraction(*WHOLES[sign]), f"{head}{sign}"
    if way == 4:
        return Fraction(whole), f" {whole}"
    minus = rng.choice(("-", "\u2212"))
    return -Fraction(whole), f"{minus}{whole}"


def _apart(rng: random.Random, text: str, unit: str) -> str:
    if text[-1] in "½¼¾⅛⅜⅝⅞" or not text[-1].isdigit() or unit[0] in "eE":
        return " "
    return rng.choice(("", " ", "  ", "\u00a0", "\u2009"))


def _unit(rng: random.Random, unit: str) -> str:
    """Small or large letters where the unit does not tell them apart."""
    if unit == '"':
        return rng.choice(('"', "\u2033", "\u201d"))
    capital = unit.upper()
    free = unit == unit.casefold() and not any(capital in k.factors for k in kinds.KINDS)
    told = capital if free and rng.random() < 0.3 else unit
    return told.replace("cm3", "cm³") if rng.random() < 0.3 else told


def _anything(rng: random.Random) -> str:
    text = "".join(rng.choice(PARTS) for _ in range(rng.randint(0, 7)))
    if rng.random() < 0.3:
        text = "".join(chr(rng.randrange(1, 0x3000)) for _ in range(rng.randint(0, 80)))
    way = rng.randrange(4)
    if way == 0:
        return _as_a_key(rng, text)
    if way == 1:
        read_day(text)
        values_in(text)
        setting_value(text)
        return "taken as it stands"
    value: object = text
    if way == 2:
        value = rng.choice((True, None, 3, -3, 10**400, 1e308, math.nan, math.inf, [], {}, b"3 mm"))
    reader = rng.choice([read for _, read in READERS.values()] + [offset])
    default = rng.choice((None, "mm", "cm", "in"))
    try:
        if rng.random() < 0.2:
            rng.choice((price, pack, clock))(value)
            return "read"
        found = reader(value, default=default)
    except InputError as problem:
        said(str(problem))
        must("Allowed: " in str(problem), problem)
        return "refused"
    must(math.isfinite(found), f"{value!r} is {found}")
    must(found >= 0.0 or reader in {units.temperature, offset}, f"{value!r} is {found}")
    said(units.format_length(abs(found), inches=rng.random() < 0.5))
    return "read"


def _as_a_key(rng: random.Random, text: str) -> str:
    """Typed for a key on the page: a value of TOML, or the text as it was typed."""
    table = rng.choice(list(keys.TABLES))
    key = rng.choice(list(keys.fields(table)))
    if text.strip():
        typed(written(table, key), text)
    return "taken as it stands"


if __name__ == "__main__":
    sys.exit(tally.main("typed-units", case, about="Measures as people type them.", count=200_000))
