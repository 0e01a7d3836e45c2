"""``mouldgen heat``: how hot the resin gets in mould and cup, and how long there is to pour."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mouldgen.cli.asked import Asked
from mouldgen.cli.gap import first_sentence, say_remedies
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say, say_json, say_wrapped, width
from mouldgen.cli.tables import table
from mouldgen.cli.words import count
from mouldgen.physics.constants import ZERO_CELSIUS as ZERO
from mouldgen.sheet.number_words import grams
from mouldgen.units import fahrenheit
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.job.load import LoadedJob
    from mouldgen.mix.cure_heat import Cup, CureHeat
    from mouldgen.physics.bands import Band

_HOURS_FROM_S = 3.0 * 3600.0
_LABEL = 9


def show_heat(asked: Asked, *, pictures: bool) -> int:
    """Say how hot mould and cup get; 1 where there is no gap or the mould runs hot.

    pictures : also draw the temperatures and the cup's clock into the job's plots.
    """
    from mouldgen.answer import answer_job

    loaded = asked.load()
    with busy(f"Reckoning the heat of {loaded.job.name}", quiet=asked.quiet):
        answer = answer_job(loaded.job, learned=loaded.learned)
        found = _reckoned(answer)
    picture = _draw(asked, found, answer, loaded) if pictures else None
    code = int(answer.gap.conflict is not None or _mould_too_hot(found))
    if asked.json:
        say_json(_data(found, answer, picture), of=loaded)
        return code
    inches = loaded.job.unit == "in"
    if answer.gap.conflict is not None:
        say_wrapped(first_sentence(answer.gap, inches=inches))
        say_remedies(answer.gap, inches=inches)
        say()
    _say_heat(found, answer, inches=inches)
    if not asked.quiet:
        _say_plots(found, answer)
        _say_beliefs(found, answer, verbose=asked.verbose)
    if picture is not None:
        say_wrapped(f"Picture: {picture.as_posix()}")
    return code


def _reckoned(answer: Answer) -> CureHeat:
    """At the gap; in a conflict at what the at-least rules ask for, where they can be met."""
    from mouldgen.mix.amounts import amounts
    from mouldgen.mix.cure_heat import cure_heat
    from mouldgen.size import mould_size_of

    asked = [bound.value_mm for bound in answer.gap.bounds if bound.kind == "at_least"]
    gap_mm = answer.gap.gap_mm
    if gap_mm is None:
        finite = [value for value in asked if value is not None and math.isfinite(value)]
        gap_mm = max(finite) if len(finite) == len(asked) else None
    if gap_mm is None:
        return cure_heat(answer.question, gap_mm=None, one_g=None, total_g=None)
    size = mould_size_of(answer.sizes, gap_mm)
    mixed = amounts(
        size.net_ml * size.blanks,
        riser_ml=size.riser_ml * size.blanks,
        features_ml=0.0,  # known only once the solids are made
        moulds=answer.fillings,
        resin=answer.job.resin,
        scale_g=answer.job.shop.scale,
    )
    return cure_heat(answer.question, gap_mm=gap_mm, one_g=mixed.one.total_g, total_g=mixed.total_g)


def _mould_too_hot(found: CureHeat) -> bool:
    if found.mould is None:
        return False
    # The middle, as the rule for the gap has it: the hot end only warns.
    wall, resin = found.mould.wall.middle - ZERO, found.mould.peak.middle - ZERO
    return wall > found.wall_limit_c or resin > found.resin_limit_c


# ------------------------------------------------------------------------------------ words


def _say_heat(found: CureHeat, answer: Answer, *, inches: bool) -> None:
    say_wrapped(in_both(" ".join(_sentences(found, answer)), inches=inches))
    say()
    for label, text in (
        ("Cup", _cup_clock(found, answer)),
        ("Mould", _mould_clock(found)),
        ("Demould", _demould(found, answer)),
    ):
        if text:
            say_wrapped(text, first=f"{label:<{_LABEL}}")
    say()
    digit = answer.job.shop.scale
    rows = [("batch", "gels after", "peak if left in the cup")]
    rows += [
        (
            _batch(cup, found, digit),
            minutes(cup.gel),
            in_both(f"{degrees(cup.peak)} degC", inches=inches),
        )
        for cup in found.cups
    ]
    say(table(rows, right=(0,)))


def _sentences(found: CureHeat, answer: Answer) -> tuple[str, ...]:
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
            f" wall {degrees(found.mould.wall)} degC; {_limit_words(found, answer)}."
        ),
        cup_words,
    )


_VERDICTS = ("stays cool", "may run hot", "runs hot")


def _verdict(band: Band, limit_c: float) -> str:
    if band.high - ZERO <= limit_c:
        return _VERDICTS[0]
    return _VERDICTS[1 if band.low - ZERO <= limit_c else 2]


def _cup_clock(found: CureHeat, answer: Answer) -> str:
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


def _mould_clock(found: CureHeat) -> str:
    if found.mould is None:
        return ""
    return (
        f"The resin in the mould gels after {minutes(found.mould.gel)}, the last of it by"
        f" {minutes(found.mould.gelled)}."
    )


def _demould(found: CureHeat, answer: Answer) -> str:
    sheet = answer.job.resin.demould
    if found.mould is None:
        return ""
    told = f"Hard enough after {minutes(found.mould.glassy)} at the earliest"
    if sheet is None:
        return f"{told}. The data sheet's demould time goes before this."
    return f"{told}. The data sheet says {_one_time(sheet)}, and that goes before this."


def _say_plots(found: CureHeat, answer: Answer) -> None:
    from mouldgen.cli.bands_plot import BandRow, bands_plot
    from mouldgen.cli.plots import signs

    drawn, columns, digit = signs(), width(), answer.job.shop.scale
    unit, shown = ("degF", fahrenheit) if answer.job.unit == "in" else ("degC", float)
    say()
    if found.mould is not None:
        rows = [
            BandRow(
                name,
                shown(band.low - ZERO),
                shown(band.high - ZERO),
                f"{degrees(band, shown=shown)} {unit}",
            )
            for name, band in (
                ("resin", found.mould.peak), ("wall", found.mould.wall), ("cup", found.fullest.peak)
            )
        ]  # fmt: skip
        line = shown(found.softens_c)
        told = _limit_words(found, answer, at=f"{round(line, 1):g} {unit}")
        say(bands_plot(rows, line=line, line_words=told, unit=unit, columns=columns,
                       drawn=drawn, start=shown(found.shop_c)))  # fmt: skip
        say()
    names = [f"{_grams(cup.mass_g, found, digit_g=digit)} g" for cup in found.cups]
    rows = [
        BandRow(name.rjust(max(map(len, names))), cup.gel.low / 60.0, cup.gel.high / 60.0,
                minutes(cup.gel))
        for name, cup in zip(names, found.cups, strict=True)
    ]  # fmt: skip
    closed = found.needed_s / 60.0
    say(bands_plot(rows, line=closed, line_words=f"mould closed at {closed:g} min", unit="min",
                   columns=columns, drawn=drawn))  # fmt: skip
    say()


def _say_beliefs(found: CureHeat, answer: Answer, *, verbose: bool) -> None:
    resin, inches = answer.job.resin, answer.job.unit == "in"
    sheet = f"{resin.gel / 60:g} min for {resin.gel_mass:g} g at {resin.gel_temperature:g} degC"
    told = [
        (
            "Bands, because no data sheet tells how much heat a resin gives: each goes from the"
            " cool to the hot end of what is believed, all calibrated on the gel time of"
            f" {sheet}."
        )
    ]
    if verbose:
        told.append(
            "Heat of 77 to 123 % of the card's or the kind's, activation energy 45 to 60 kJ/mol,"
            " still air that takes 5 to 15 W/(m2 K). The cup is a ball of resin without a rim, the"
            " mould a long ring; a pot's pressure and the neighbours in it are left out. The wall"
            f" is to stay below {found.wall_limit_c:g} degC, the resin below"
            f" {found.resin_limit_c:g} degC."
        )
    for text in told:
        say_wrapped(in_both(text, inches=inches))


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


def _batch(cup: Cup, found: CureHeat, digit_g: float) -> str:
    every = "all " if cup.mass_g == found.total_g else ""
    return f"{every}{_grams(cup.mass_g, found, digit_g=digit_g)} g"


def _mass(mass_g: float, found: CureHeat, answer: Answer) -> str:
    about = "about " if mass_g == found.total_g else ""
    return f"{about}{_grams(mass_g, found, digit_g=answer.job.shop.scale)} g"


def _grams(mass_g: float, found: CureHeat, *, digit_g: float) -> str:
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


def _limit_words(found: CureHeat, answer: Answer, *, at: str = "") -> str:
    """What the wall stands: plastic softens, rubber does not.

    at : the temperature as it is told; in degC where it is empty.
    """
    gives = "softens at" if answer.question.rubber is None else "stands"
    return f"{_plastic(answer)} {gives} {at or f'{found.softens_c:g} degC'}"


def _plastic(answer: Answer) -> str:
    if answer.question.rubber is not None:
        return "silicone rubber"
    return answer.job.plastic.title or "the plastic"


# ------------------------------------------------------------------------- picture and data


def _draw(asked: Asked, found: CureHeat, answer: Answer, loaded: LoadedJob) -> Path:
    from mouldgen.files.single import put_plots
    from mouldgen.fingerprint import fingerprint_of
    from mouldgen.sheet.heat_picture import heat_svg

    name = answer.job.name
    svg = heat_svg(
        found,
        plastic=_plastic(answer),
        title=f"{name}: the heat of the cure",
        inches=answer.job.unit == "in",
    )
    fingerprint = fingerprint_of(loaded.job, loaded.learned)
    (path,) = put_plots(asked.out / name, {"heat.svg": svg.encode()}, fingerprint=fingerprint)
    return path


def _data(found: CureHeat, answer: Answer, picture: Path | None) -> dict[str, Any]:
    from mouldgen.files.single import plot_name

    mould = found.mould
    demould_s = answer.job.resin.demould
    data: dict[str, Any] = {
        "job": answer.job.name,
        "conflict": answer.gap.conflict,
        "gap_mm": found.gap_mm,
        "shop_c": found.shop_c,
        "softens_c": found.softens_c,
        "wall_limit_c": found.wall_limit_c,
        "resin_limit_c": found.resin_limit_c,
        "too_hot": _mould_too_hot(found),
        "mould": None
        if mould is None
        else {
            "peak_c": _celsius(mould.peak),
            "wall_c": _celsius(mould.wall),
            "gel_min": _in_minutes(mould.gel),
            "gelled_min": _in_minutes(mould.gelled),
            "demould_min": _in_minutes(mould.glassy),
        },
        "sheet_demould_min": None if demould_s is None else round(demould_s / 60.0, 2),
        "cups": [
            {
                "mass_g": cup.mass_g,
                "gel_min": _in_minutes(cup.gel),
                "peak_c": _celsius(cup.peak),
            }
            for cup in found.cups
        ],
        "closed_min": round(found.needed_s / 60.0, 2),
        "largest_batch_g": None if math.isinf(found.largest_g) else round(found.largest_g, 1),
        "total_g": found.total_g,
        "batch_g": found.batch_g,
        "batches": found.batches,
    }
    return data if picture is None else {**data, "files": [plot_name(picture)]}


def _celsius(band: Band) -> dict[str, float]:
    return {
        "low": round(band.low - ZERO, 1),
        "middle": round(band.middle - ZERO, 1),
        "high": round(band.high - ZERO, 1),
    }


def _in_minutes(band: Band) -> dict[str, float | None]:
    """JSON has no infinity: what never comes is null."""
    return {
        name: round(value / 60.0, 1) if math.isfinite(value) else None
        for name, value in (("low", band.low), ("middle", band.middle), ("high", band.high))
    }
