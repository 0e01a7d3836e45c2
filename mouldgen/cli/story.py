"""A set of moulds told on the terminal, in the order of the work."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.cli.amounts import amounts_table
from mouldgen.cli.findings import say_findings
from mouldgen.cli.gap import first_sentence, say_remedies, setting_bound
from mouldgen.cli.say import say, say_wrapped
from mouldgen.cli.words import count, gap, hours, length, percent
from mouldgen.job.cells import IN_CELLS, pieces_per_blank
from mouldgen.sheet.lathe_words import lathe_line, piece_line
from mouldgen.sheet.order_words import lead_words
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.job.model import Job
    from mouldgen.mould.lines import FillLine
    from mouldgen.mould_set import MouldSet

_LABEL = 10


def say_story(found: MouldSet, *, quiet: bool, verbose: bool) -> None:
    """Everything a maker needs of a set, and what to look at.

    quiet : only what must be fixed, and a conflict.
    verbose : every note by itself.
    """
    conflict = found.answer.gap.conflict is not None
    inches = found.answer.job.unit == "in"
    if conflict:
        say_wrapped(first_sentence(found.answer.gap, inches=inches))
        say_remedies(found.answer.gap, inches=inches)
    elif not quiet:
        _say_head(found.answer.job)
        _say_scan(found)
        _say_gap(found)
        _say_volumes(found)
        _say_pour(found)
        _say_moulds(found)
        _say_release(found)
        _say_rubber(found)
        _say_beds(found)
        _say_extras(found)
        _say_lathe(found)
        _say_pressure(found.answer.job)
    told = [finding for finding in found.findings if finding.id != "gap.conflict"]
    if told and not quiet:
        say()
    say_findings(told, quiet=quiet, verbose=verbose, inches=inches)
    if not quiet and not conflict:
        say()
        _say_cautions(found.answer.job)


def say_files(folder: Path, written: Sequence[Path]) -> None:
    """Where the files are, by folder."""
    _line("Files", f"{folder.as_posix()}/")
    names: dict[str, list[str]] = {}
    for path in written:
        part = path.relative_to(folder)
        names.setdefault(part.parent.as_posix(), []).append(part.name)
    for place, inside in names.items():
        _line("", ("" if place == "." else f"{place}/ ") + " ".join(sorted(inside, key=_counted)))


def _counted(name: str) -> tuple[tuple[int, int | str], ...]:
    """To sort names by: bed-2 comes before bed-10."""
    parts = re.findall(r"\d+|\D+", name)
    return tuple((0, int(part)) if part.isdecimal() else (1, part) for part in parts)


def _say_head(job: Job) -> None:
    say_wrapped(f"{job.name}: {lead_words(job)}")
    say()


def _say_scan(found: MouldSet) -> None:
    """What was scanned, as it stands."""
    job, insert = found.answer.job, found.answer.insert
    if job.insert.scan is None:
        return
    inches = job.unit == "in"
    sizes = (2.0 * insert.envelope_mm, insert.length_mm)
    across, high = (length(mm, inches=inches) for mm in sizes)
    made = f", made {job.insert.scale:g} times as large" if job.insert.scale != 1.0 else ""
    end = "lighter" if job.insert.end_down == "light" else "heavier"
    _line(
        "Scan",
        f"{job.insert.file or 'as handed over'}{made}: {insert.volume_ml:.1f} ml, {across} across"
        f" and {high} high as it stands, its {end} end down.",
    )


def _say_gap(found: MouldSet) -> None:
    answer = found.answer
    inches = answer.job.unit == "in"
    asking = setting_bound(answer.gap)
    size = gap(answer.gap.gap_mm or 0.0, inches=inches)
    if asking.rule == answer.gap.set_by:
        why = in_both(asking.why, inches=inches)
        _line("Gap", f"{size} all round, set by {asking.rule}: {why}.")
    else:
        _line("Gap", f"{size} all round, set by you.")
    if found.measured_least_mm is not None:
        least = gap(found.measured_least_mm, inches=inches)
        _line("", f"Measured on the finished mould: nowhere less than {least}.")


def _say_volumes(found: MouldSet) -> None:
    size, resin = found.answer.size, found.amounts
    if size is None or resin is None:
        return
    riser = f", {size.riser_ml:.1f} ml more stands above it" if size.riser_ml >= 0.05 else ""
    _line(
        "Mould",
        f"{_each_of(found)}cavity {size.cavity_ml:.1f} ml, insert {size.insert_ml:.1f} ml, net"
        f" {size.net_ml:.1f} ml of resin to the fill line{riser}.",
    )
    _line("Resin", amounts_table(resin), wrap=False)
    loss = percent(found.answer.job.resin.loss)
    _line("", f"One mould holds {resin.per_mould_ml:.1f} ml; {loss} more is mixed as loss.")


def _each_of(found: MouldSet) -> str:
    """Whose volumes they are, in a mould with several cells."""
    size, family = found.answer.size, found.answer.job.mould.family
    if size is None or size.blanks == 1:
        return ""
    return f"each of its {size.blanks} {'pockets' if family == 'tray' else 'bores'}: "


def _say_pour(found: MouldSet) -> None:
    size, tried, sinks = found.answer.size, found.tried, found.riser
    if size is None or tried is None or sinks is None:
        return
    inches = found.answer.job.unit == "in"
    level = length(size.level_mm, inches=inches)
    fill = length(size.fill_mm, inches=inches)
    once = "one pour is enough" if sinks.fits else f"then {sinks.second_ml:.1f} ml more"
    _line(
        "Pour",
        f"to the line inside, {level} over the floor: {sinks.needed_ml:.1f} ml sink away, and the"
        f" blank is to reach {fill}; {once}. {tried.reason}",
    )
    if found.plan is not None and len(found.plan.lines) > 1:
        _line("", _lines_words(found.plan.lines, inches=inches))


def _lines_words(lines: Sequence[FillLine], *, inches: bool) -> str:
    """Which line inside is which pour's."""
    last = next(line for line in lines if line.last)
    earlier = [length(line.height_mm, inches=inches) for line in lines if not line.last]
    pours = "the first pour" if len(earlier) == 1 else "the pours before the last"
    many = "double line" if len(earlier) == 1 else "double lines"
    return (
        f"Inside, {many} at {' and '.join(earlier)}, to whose upper groove {pours} come, and a"
        f" single one at {length(last.height_mm, inches=inches)} for the last."
    )


def _say_moulds(found: MouldSet) -> None:
    order, moulds = found.answer.job.order, found.answer.moulds
    per_blank = pieces_per_blank(found.answer.job)
    wanted = -(-order.pieces // per_blank)
    each = "piece" if per_blank == 1 else f"{per_blank} pieces"
    if order.customers_wood:
        why = f"one for each {each}, because the customer's wood leaves no spares"
    elif moulds == wanted:
        why = f"one for each {each}, at a yield of {percent(order.yield_)}{_own(found)}"
    else:
        good = "pieces" if per_blank == 1 else "blanks"
        why = (
            f"with {percent(order.yield_)} of castings good{_own(found)}, that many give {wanted}"
            f" good {good} with a chance of {percent(order.confidence)} or better"
        )
    again = found.rubber is not None or found.answer.reused
    _line("Castings" if again else "Moulds", f"start {moulds}{_in_cells(found)}: {why}.")
    _say_reuse(found)


def _own(found: MouldSet) -> str:
    """Where the yield is learned: from how many castings."""
    learned = found.answer.question.learned
    if learned.yield_ is None:
        return ""
    from mouldgen.shop.taken import seen_clause  # late: most yields are not learned

    seen = in_both(seen_clause(learned), inches=found.answer.job.unit == "in")
    return f", from your own {count(learned.yield_castings, 'casting')}{seen}"


def _in_cells(found: MouldSet) -> str:
    """How many moulds they are cast in, where one has several cells or is used again."""
    answer = found.answer
    blanks, fillings, printed = answer.sizes.blanks, answer.fillings, answer.printed
    if answer.job.mould.family not in IN_CELLS or (blanks == 1 and printed == fillings):
        return ""
    of = "" if blanks == 1 else f" of {blanks}"
    if printed == fillings:
        return f" blanks in {count(printed, 'mould')}{of}"
    times = count(-(-fillings // printed), "time")
    return f" blanks in {count(printed, 'mould')}{of}, each filled up to {times}"


def _say_rubber(found: MouldSet) -> None:
    """The rubber to weigh, and how often the moulds are filled."""
    rubber = found.rubber
    if rubber is None:
        return
    made = count(rubber.sets, "rubber mould")
    each = "" if rubber.sets == 1 else f" each, {rubber.total_g:.0f} g in all"
    _line(
        "Rubber",
        f"{made} of {count(rubber.up, 'cavity', 'cavities')}: box {rubber.box_ml:.0f} ml less plugs"
        f" {rubber.plugs_ml:.0f} ml, {rubber.one_ml:.0f} ml of rubber, with"
        f" {percent(rubber.loss)} loss {rubber.one_g:.0f} g{each}."
        f" Cast {count(rubber.rounds, 'time')}.",
    )


def _say_reuse(found: MouldSet) -> None:
    """How often each mould is cast, where one is used again."""
    from mouldgen.mould.families import family_of

    answer = found.answer
    family = family_of(answer.job.mould.family)
    if not family.casts_each:
        return
    printed, castings = answer.printed, answer.moulds
    times = -(-castings // printed)
    each = "each cast" if printed > 1 else "cast"
    up_to = "" if castings == times * printed else "up to "
    parts = " and ".join(family.each_casting)
    _line(
        "Moulds",
        f"print {count(printed, 'mould')}, {each} {up_to}"
        f"{count(times, 'time')}, and a {parts} for every casting.",
    )


def _say_release(found: MouldSet) -> None:
    """How the blank comes out."""
    from mouldgen.mould.families.release import release_of

    _line("Release", release_of(found.answer.job.mould))


def _say_beds(found: MouldSet) -> None:
    if not found.beds:
        return
    first = [bed for bed in found.beds if bed.first_mould]
    alone = "bed 1 is" if len(first) == 1 else f"beds 1 to {len(first)} are"
    inches = found.answer.job.unit == "in"
    printer = f", each {in_both(str(found.beds[0].bed), inches=inches)}"
    if found.rubber is not None:
        _line(
            "Beds",
            f"{len(found.beds)}{printer}. Set the frame on the base and fill it with water to the"
            " line, wait ten minutes; if it is tight, dry it fully before rubber.",
        )
        _say_filament(found)
        return
    _line(
        "Beds",
        f"{len(found.beds)}{printer}; {alone} one mould alone. Print it, fill it with water, wait"
        " ten minutes; if it is tight, print the rest. Dry every mould fully before resin.",
    )
    _say_filament(found)


def _say_filament(found: MouldSet) -> None:
    plastic = found.answer.job.plastic
    name = plastic.title or "filament"
    beside = " and what lies beside them" if found.extras else ""
    what = "all moulds" if found.rubber is None else "base, frame and lids"
    _line("Filament", f"{found.filament_g:.0f} g of {name} for {what}{beside}, printed solid.")
    _say_print_time(found)


def _say_print_time(found: MouldSet) -> None:
    """How long all beds print, and what that is reckoned from."""
    from mouldgen.shop.print_time import basis

    took = found.print_time
    if took is None:
        return
    beds = "the bed" if len(found.beds) == 1 else f"all {len(found.beds)} beds"
    _line(
        "Printing",
        f"about {hours(took.seconds)} for {beds}, {took.filament_m:.0f} m of 1.75 mm:"
        f" {basis(found.answer.job.printer)}.",
    )


def _say_extras(found: MouldSet) -> None:
    inches = found.answer.job.unit == "in"
    for number, made in enumerate(found.extras):
        _line("" if number else "Beside", in_both(made.extra.sentence, inches=inches))


def _say_lathe(found: MouldSet) -> None:
    """What a finished piece is made of; the cut list where the blank is long enough."""
    if found.piece is None or found.cuts is None:
        return
    _line("Piece", piece_line(found))
    if found.cuts.stack.spare_mm >= 0.0:
        job = found.answer.job
        line = lathe_line(found.cuts, inches=job.unit == "in", tenon_mm=job.mould.tenon)
        _say_saw(found)
        _line("Lathe", line)


def _say_saw(found: MouldSet) -> None:
    """How a block is sawn, before anything is turned."""
    saw, size = found.answer.job.piece.saw, found.answer.size
    if saw is None or saw == (1, 1) or found.plan is None or size is None:
        return
    from mouldgen.mould.tray import TrayPlan  # late: most moulds are cups

    if isinstance(found.plan, TrayPlan):
        wide, deep = (
            length(side, inches=found.answer.job.unit == "in") for side in found.plan.sawn_mm
        )
        _line(
            "Saw",
            f"along the marks on its lower face into {saw[0]} x {saw[1]}, each {wide} x {deep}.",
        )


def _say_pressure(job: Job) -> None:
    """The pressure asked for, never one above the plate."""
    from mouldgen.job.rating import pressure_words

    asked, rating = job.pour.pressure, job.pot.rating if job.pot else None
    if asked is None and job.pot is None:
        return
    if rating is None:
        _line("Pressure", "____ psi: write what the pot's plate says as [pot] rating.")
    elif asked is not None and asked <= rating:
        _line("Pressure", f"{pressure_words(asked)}; the plate says {pressure_words(rating)}.")


def _say_cautions(job: Job) -> None:
    from mouldgen.job.cautions import cautions_for

    pressure = job.pot is not None or job.pour.pressure is not None
    told = cautions_for(job.resin.kind, pressure=pressure)
    _line("Mind", " ".join(caution.short for caution in told))


def _line(label: str, text: str, *, wrap: bool = True) -> None:
    first = f"{label:<{_LABEL}}"
    if wrap:
        say_wrapped(text, first=first)
        return
    head, *rest = text.split("\n")
    say("\n".join([first + head, *(" " * _LABEL + line for line in rest)]))
