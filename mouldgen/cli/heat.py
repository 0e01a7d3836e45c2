"""``mouldgen heat``: how hot the resin gets in mould and cup, and how long there is to pour."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mouldgen.cli.asked import Asked
from mouldgen.cli.gap import first_sentence, say_remedies
from mouldgen.cli.heat_words import (
    about_grams,
    batch,
    cup_clock,
    degrees,
    demould,
    limit_words,
    minutes,
    mould_clock,
    plastic,
    sentences,
)
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say, say_json, say_wrapped, width
from mouldgen.cli.tables import table
from mouldgen.physics.constants import ZERO_CELSIUS as ZERO
from mouldgen.units import fahrenheit
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.job.load import LoadedJob
    from mouldgen.mix.cure_heat import CureHeat
    from mouldgen.physics.bands import Band

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
    say_wrapped(in_both(" ".join(sentences(found, answer)), inches=inches))
    say()
    for label, text in (
        ("Cup", cup_clock(found, answer)),
        ("Mould", mould_clock(found)),
        ("Demould", demould(found, answer)),
    ):
        if text:
            say_wrapped(text, first=f"{label:<{_LABEL}}")
    say()
    digit = answer.job.shop.scale
    rows = [("batch", "gels after", "peak if left in the cup")]
    rows += [
        (
            batch(cup, found, digit),
            minutes(cup.gel),
            in_both(f"{degrees(cup.peak)} degC", inches=inches),
        )
        for cup in found.cups
    ]
    say(table(rows, right=(0,)))


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
        told = limit_words(found, answer, at=f"{round(line, 1):g} {unit}")
        say(bands_plot(rows, line=line, line_words=told, unit=unit, columns=columns,
                       drawn=drawn, start=shown(found.shop_c)))  # fmt: skip
        say()
    names = [f"{about_grams(cup.mass_g, found, digit_g=digit)} g" for cup in found.cups]
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


# ------------------------------------------------------------------------- picture and data


def _draw(asked: Asked, found: CureHeat, answer: Answer, loaded: LoadedJob) -> Path:
    from mouldgen.files.single import put_plots
    from mouldgen.fingerprint import fingerprint_of
    from mouldgen.sheet.heat_picture import heat_svg

    name = answer.job.name
    svg = heat_svg(
        found,
        plastic=plastic(answer),
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
