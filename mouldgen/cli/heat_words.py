"""The words of ``mouldgen heat``: bands in degrees and minutes, and what they mean for the pour."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from mouldgen.cli.words import count
from mouldgen.physics.constants import ZERO_CELSIUS as ZERO
from mouldgen.sheet.number_words import grams

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.mix.cure_heat import Cup, CureHeat
    from mouldgen.physics.bands import Band

_HOURS_FROM_S = 3.0 * 3600.0


def sentences(found: CureHeat, answer: Answer) -> tuple[str, ...]:
    """Whether the resin runs hot in mould and cup, and how hot."""
    cup = found.fullest
    in_cup = _verdict(cup.peak, found.resin_limit_c)
    every = "All the resin, " if cup.mass_g == found.total_g else "A batch of "
    comma = "," if cup.mass_g == found.total_g else ""
    cup_words = (
        f"{every}{_mass(cup.mass_g, found, answer)}{comma} left in one cup would reach"
        f" {degrees(cup.peak)} degC."
    )
    if found.mould is None:
        return f"The resin {in_cup} if left in the cup.", cup_words
    hot = max(
        (_verdict(found.mould.peak, found.resin_limit_c),
         _verdict(found.mould.wall, found.wall_limit_c)),
        key=_VERDICTS.index,
    )  # fmt: skip
    both = ", and in the cup if left there" if hot == in_cup else ""
    then = both or f" and {in_cup} if left in the cup"
    return (
        f"The resin {hot} in the mould{then}.",
        (
            f"In the mould its peak is {degrees(found.mould.peak)} degC, at the {_wall(answer)}"
            f" wall {degrees(found.mould.wall)} degC; {limit_words(found, answer)}."
        ),
        cup_words,
    )


_VERDICTS = ("stays cool", "may run hot", "runs hot")


def _verdict(band: Band, limit_c: float) -> str:
    if band.high - ZERO <= limit_c:
        return _VERDICTS[0]
    return _VERDICTS[1 if band.low - ZERO <= limit_c else 2]


def cup_clock(found: CureHeat, answer: Answer) -> str:
    """How small to split, so that the cup is liquid until the mould is closed."""
    needed = f"{_minutes(found.needed_s)} min after mixing starts the mould is closed"
    if found.largest_g == 0.0:
        return f"{needed}, and no cup stays liquid so long; close sooner, or take a slower resin."
    digit = answer.job.shop.scale
    if (found.batch_g or math.inf) <= found.largest_g < math.inf or (
        found.batch_g is not None and math.isinf(found.largest_g)
    ):
        yours = _mass(found.batch_g or 0.0, found, answer)
        told = f"{needed}; your {yours} at once stay liquid longer"
    elif math.isinf(found.largest_g):
        return f"{needed}; a cup of any size stays liquid longer, so nothing has to be split."
    else:
        largest = grams(math.floor(found.largest_g / digit) * digit, digit_g=digit)
        yours = "" if found.batch_g is None else f", not {_mass(found.batch_g, found, answer)}"
        told = f"{needed}; mix no more than {largest} g at once{yours}, or the cup may gel first"
    if found.batches is None or found.total_g is None:
        return f"{told}."
    return f"{told}: {count(found.batches, 'cup')} for {_mass(found.total_g, found, answer)}."


def mould_clock(found: CureHeat) -> str:
    """When the resin in the mould gels; empty where there is no mould."""
    if found.mould is None:
        return ""
    return (
        f"The resin in the mould gels after {minutes(found.mould.gel)}, the last of it by"
        f" {minutes(found.mould.gelled)}."
    )


def demould(found: CureHeat, answer: Answer) -> str:
    """When it may come out, the data sheet first; empty where there is no mould."""
    sheet = answer.job.resin.demould
    if found.mould is None:
        return ""
    told = f"Hard enough after {minutes(found.mould.glassy)} at the earliest"
    if sheet is None:
        return f"{told}. The data sheet's demould time goes before this."
    return f"{told}. The data sheet says {_one_time(sheet)}, and that goes before this."


def degrees(band: Band, *, shown: Callable[[float], float] = float) -> str:
    """A band [K] in whole degrees, its ends rounded outward.

    shown : from degC to the degrees that are told, which are those of the whole degC.
    """
    low, high = math.floor(band.low - ZERO + 1e-6), math.ceil(band.high - ZERO - 1e-6)
    return f"{math.floor(shown(low) + 1e-6)} to {math.ceil(shown(high) - 1e-6)}"


def minutes(band: Band) -> str:
    """A band of times [s] in min, or in h where it is long; its ends rounded outward."""
    if math.isinf(band.low):
        return "no time that is reckoned"
    hours = band.low >= _HOURS_FROM_S
    unit_s, unit, places = (3600.0, "h", 1) if hours else (60.0, "min", 0 if band.low > 600 else 1)
    steps = 10**places
    low = math.floor(band.low / unit_s * steps + 1e-6) / steps
    if math.isinf(band.high):
        return f"{low:g} {unit} or never"
    high = math.ceil(band.high / unit_s * steps - 1e-6) / steps
    return f"{low:g} {unit}" if low == high else f"{low:g} to {high:g} {unit}"


def _one_time(time_s: float) -> str:
    return f"{time_s / 3600:g} h" if time_s >= _HOURS_FROM_S else f"{_minutes(time_s)} min"


def _minutes(time_s: float) -> str:
    return f"{time_s / 60:.3g}"


def batch(cup: Cup, found: CureHeat, digit_g: float) -> str:
    """What is in a cup, as it is told in the table of cups."""
    every = "all " if cup.mass_g == found.total_g else ""
    return f"{every}{about_grams(cup.mass_g, found, digit_g=digit_g)} g"


def _mass(mass_g: float, found: CureHeat, answer: Answer) -> str:
    about = "about " if mass_g == found.total_g else ""
    return f"{about}{about_grams(mass_g, found, digit_g=answer.job.shop.scale)} g"


def about_grams(mass_g: float, found: CureHeat, *, digit_g: float) -> str:
    """A mass [g]; that of all resin to two digits, since legs and grooves are not drawn yet.

    A round one that is tried, or that a maker mixes at once, is told without digits of the scale.
    """
    if mass_g == found.total_g:
        return f"{float(f'{mass_g:.2g}'):.6g}"
    if mass_g == round(mass_g):
        return f"{mass_g:.0f}"
    return grams(mass_g, digit_g=digit_g)


def _wall(answer: Answer) -> str:
    return "printed" if answer.question.rubber is None else "rubber"


def limit_words(found: CureHeat, answer: Answer, *, at: str = "") -> str:
    """What the wall stands: plastic softens, rubber does not.

    at : the temperature as it is told; in degC where it is empty.
    """
    gives = "softens at" if answer.question.rubber is None else "stands"
    return f"{plastic(answer)} {gives} {at or f'{found.softens_c:g} degC'}"


def plastic(answer: Answer) -> str:
    """What the wall is of."""
    if answer.question.rubber is not None:
        return "silicone rubber"
    return answer.job.plastic.title or "the plastic"
